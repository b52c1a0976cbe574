"""Embeds OpenType fonts as subsets and sets text with them."""
import io
import json
import os
import subprocess
import tempfile
import zlib

from fontTools import subset
from fontTools.ttLib import TTFont

from pdf import stream

FACES = {
    "display": "/usr/share/fonts/opentype/sortsmill/GoudyBookletter1911.otf",
    "text": "/usr/share/fonts/opentype/yanone-kaffeesatz/YanoneKaffeesatz-Regular.otf",
    "bold": "/usr/share/fonts/opentype/yanone-kaffeesatz/YanoneKaffeesatz-Bold.otf",
    "sans": "/usr/share/fonts/opentype/cabin/Cabin-Medium.otf",
}


class Font:
    """A subset of one face that holds the letters of one label."""

    def __init__(self, name, letters):
        self.name = name
        options = subset.Options(layout_features=["kern", "liga"], notdef_outline=True, name_IDs=[6], hinting=False)
        options.drop_tables += ["FFTM"]
        font = subset.load_font(FACES[name], options)
        maker = subset.Subsetter(options)
        maker.populate(text="".join(sorted(set(letters))))
        maker.subset(font)
        font.recalcTimestamp = False
        buffer = io.BytesIO()
        font.save(buffer)
        self.otf = buffer.getvalue()
        self.font = TTFont(io.BytesIO(self.otf))
        self.em = self.font["head"].unitsPerEm

    def shape(self, text, spacing=0):
        """[(glyph id, advance, x offset)] in ems, kerned; spacing opens every letter."""
        with tempfile.NamedTemporaryFile(suffix=".otf") as f:
            f.write(self.otf)
            f.flush()
            said = subprocess.run(["hb-shape", "--output-format=json", "--no-glyph-names", f.name, "--text=" + text],
                                  check=True, capture_output=True).stdout
        return [(g["g"], g["ax"] / self.em + spacing, g["dx"] / self.em) for g in json.loads(said)]

    def width(self, text, size, spacing=0):
        return sum(a for _, a, _ in self.shape(text, spacing)) * size - spacing * size

    def objects(self):
        """The PDF objects of the font, the first being the font itself."""
        f, n = self.font, self.name
        postscript = "ABCDEF+" + f["name"].getDebugName(6)
        scale = 1000 / self.em
        order = f.getGlyphOrder()
        widths = " ".join("%g" % round(f["hmtx"][g][0] * scale) for g in order)
        head, hhea = f["head"], f["hhea"]
        box = " ".join("%d" % round(v * scale) for v in (head.xMin, head.yMin, head.xMax, head.yMax))
        letters = sorted((f.getGlyphID(g), c) for c, g in f.getBestCmap().items())
        cmap = ("/CIDInit /ProcSet findresource begin 12 dict begin begincmap /CMapName /Letters def /CMapType 2 def\n"
                "1 begincodespacerange <0000> <FFFF> endcodespacerange\n%d beginbfchar\n%s\nendbfchar endcmap end end"
                % (len(letters), "\n".join("<%04X> <%04X>" % p for p in letters)))
        cff = self.font.reader["CFF "]
        return {
            n: "<< /Type /Font /Subtype /Type0 /BaseFont /%s /Encoding /Identity-H /DescendantFonts [@%sCID] /ToUnicode @%sMap >>" % (postscript, n, n),
            n + "CID": "<< /Type /Font /Subtype /CIDFontType0 /BaseFont /%s /CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >>"
                       " /FontDescriptor @%sDescriptor /DW 0 /W [0 [%s]] >>" % (postscript, n, widths),
            n + "Descriptor": "<< /Type /FontDescriptor /FontName /%s /Flags 4 /FontBBox [%s] /ItalicAngle 0 /Ascent %d /Descent %d /CapHeight %d"
                              " /StemV 80 /FontFile3 @%sFile >>" % (postscript, box, hhea.ascent * scale, hhea.descent * scale, f["OS/2"].sCapHeight * scale, n),
            n + "File": stream("/Subtype /CIDFontType0C /Filter /FlateDecode", zlib.compress(cff, 9)),
            n + "Map": stream("/Filter /FlateDecode", zlib.compress(cmap.encode(), 9)),
        }
