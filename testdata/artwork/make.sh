#!/usr/bin/env bash
# Makes the artwork of this folder again from source/. Needs (Debian):
# ghostscript inkscape librsvg2-bin libreoffice-draw python3-cairo
# python3-reportlab texlive-latex-base mupdf-tools chromium qpdf
# fonts-goudybookletter fonts-yanone-kaffeesatz fonts-lato
#
# With the same versions of the programs all but a few come out byte for byte:
# Inkscape, LibreOffice and Chromium write the time into the file.
set -euo pipefail
cd "$(dirname "$0")"
export SOURCE_DATE_EPOCH=1772355600 TZ=UTC PYTHONDONTWRITEBYTECODE=1
here=$PWD
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
python=/usr/bin/python3

edit() { $python source/edit.py "$@"; }

distill() {
	gs -q -dSAFER -dBATCH -dNOPAUSE -sDEVICE=pdfwrite -dCompatibilityLevel=1.6 -dAutoRotatePages=/None \
		-dEmbedAllFonts=true -dSubsetFonts=true -sDocumentUUID=00000000-0000-0000-0000-000000000001 \
		-sInstanceUUID=00000000-0000-0000-0000-000000000002 -sOutputFile="$2" "$1"
}
distill source/quince.ps quince-ghostscript.pdf
distill source/honey.ps honey-ghostscript.pdf

# The same drawing by two programs; neither can set boxes.
boxes=('TrimBox=[5.6693 5.6693 147.4016 218.2677]' 'BleedBox=[0 0 153.0709 223.937]')
inkscape --export-type=pdf --export-filename="$work/elderflower.pdf" source/elderflower.svg 2>/dev/null
edit "$work/elderflower.pdf" elderflower-inkscape.pdf "${boxes[@]}"
rsvg-convert -f pdf -o "$work/rsvg.pdf" source/elderflower.svg
edit "$work/rsvg.pdf" elderflower-rsvg.pdf "${boxes[@]}"

$python source/walnut.py "$work/walnut.pdf"
edit "$work/walnut.pdf" walnut-cairo.pdf 'TrimBox=[5.6693 5.6693 232.4409 119.0551]'
# Made lying on its side, for a viewer to turn.
edit "$work/walnut.pdf" walnut-rotated.pdf 'TrimBox=[5.6693 5.6693 232.4409 119.0551]' Rotate=90

(cd "$work" && pdftex -interaction=batchmode "$here/source/plum.tex" >/dev/null)
cp "$work/plum.pdf" plum-pdftex.pdf

$python source/balm.py balm-reportlab.pdf
edit quince-ghostscript.pdf quince-offset-userunit.pdf shift=-31.5,47.25 UserUnit=2
edit balm-reportlab.pdf balm-inherited.pdf inherit=1

# A striped image, and a page description in MuPDF's own notation.
gs -q -dSAFER -dBATCH -dNOPAUSE -sDEVICE=png16m -r72 -g64x16 -sOutputFile="$work/stripes.png" \
	-c '0 1 63 { /x exch def x 8 mod 8 div .3 add .25 x 128 div .2 add setrgbcolor x 0 1 16 rectfill } for showpage'
cp source/vinegar.txt "$work"
(cd "$work" && mutool create -o vinegar.pdf -O compress vinegar.txt)
edit "$work/vinegar.pdf" vinegar-mutool.pdf 'TrimBox=[8.5039 8.5039 189.9213 104.8819]'

soffice --headless -env:UserInstallation="file://$work/profile" --convert-to pdf --outdir "$work" source/salt.fodg >/dev/null 2>&1
edit "$work/salt.pdf" salt-libreoffice.pdf 'TrimBox=[5.6693 5.6693 175.7480 232.4409]'

chromium --headless --no-sandbox --disable-gpu --user-data-dir="$work/chromium" --no-pdf-header-footer \
	--print-to-pdf="$work/rhubarb.pdf" "file://$here/source/rhubarb.html" >/dev/null 2>&1
edit "$work/rhubarb.pdf" rhubarb-chromium.pdf 'TrimBox=[5.6693 5.6693 124.7244 181.4173]'
ls -l ./*.pdf
