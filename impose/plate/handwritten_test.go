package plate

import (
	"bytes"
	"compress/lzw"
	"compress/zlib"
	"context"
	"encoding/ascii85"
	"encoding/hex"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// drawing is a page of 72 x 72 points that is written by hand: resources with
// <1>, <2> ... for the objects that follow, from 5 on.
type drawing struct {
	name, resources, content string
	states                   string // further graphics states
	objects                  []string
}

const spots = `/ColorSpace << /Red [/Separation /Red /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 .8 0] >>]
 /Blue [/Separation /Blue /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [1 .6 0 0] >>]
 /None [/Separation /None /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [1 .6 0 0] >>]
 /All [/Separation /All /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [1 1 1 1] >>]
 /Black [/Separation /Black /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 0 0 1] >>]
 /Two [/DeviceN [/Cyan /Red] /DeviceCMYK 5 0 R]
 /Three [/DeviceN [/Red /None /Black] /DeviceCMYK 6 0 R]
 /NChannel [/DeviceN [/Cyan /Magenta /Yellow /Black /Red] /DeviceCMYK 7 0 R << /Subtype /NChannel /Process << /ColorSpace /DeviceCMYK /Components [/Cyan /Magenta /Yellow /Black] >> >>]
 /Palette [/Indexed [/DeviceN [/Cyan /Red] /DeviceCMYK 5 0 R] 3 <0000 FF00 00FF 80C0>]
 /CMYKPalette [/Indexed /DeviceCMYK 1 <FF800000 00004080>]
 /Un [/Pattern /DeviceCMYK] /UnRed [/Pattern [/Separation /Red /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 .8 0] >>]] >>
 /ExtGState << /Over << /OP true /op true /OPM 0 >> /Mode << /OP true /op true /OPM 1 >> /Off << /OP false /op false >>
 /FillOnly << /OP false /op true /OPM 1 >> /StrokeOnly << /OP true /op false /OPM 1 >>
 /Half << /ca .5 /CA .5 >> /Multiply << /BM /Multiply >> /Screen << /BM /Screen >> /Darken << /BM /Darken >> /Lighten << /BM /Lighten >> /Difference << /BM /Difference >>
 /HardLight << /BM /HardLight >> /Burn << /BM /ColorBurn >> /Exclusion << /BM /Exclusion >> /Overlay << /BM /Overlay >> /SoftLight << /BM /SoftLight >> /Dodge << /BM /ColorDodge >> >>`

// tints are the functions of the DeviceN spaces above.
func tints() []string {
	return []string{
		witness.Stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{dup .8 mul 0}"),
		witness.Stream("/FunctionType 4 /Domain [0 1 0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{exch pop 0 3 1 roll exch dup .8 mul 3 -1 roll}"),
		witness.Stream("/FunctionType 4 /Domain [0 1 0 1 0 1 0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{pop}"),
	}
}

// book puts drawings into one file, a page each.
func book(t testing.TB, list []drawing) string {
	bodies := append([]string{"<< /Type /Catalog /Pages 2 0 R >>", ""}, tints()...)
	kids := ""
	for _, d := range list {
		at := len(bodies) + 1
		kids += fmt.Sprintf("%d 0 R ", at)
		bodies = append(bodies, fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 72 72] /Contents %d 0 R /Resources << %s %s >> /Group << /S /Transparency /CS /DeviceCMYK /I true >> >>",
			at+1, strings.Replace(spots, "/Half", d.states+" /Half", 1), d.resources))
		bodies = append(bodies, witness.Stream("", d.content))
		bodies = append(bodies, d.objects...)
		for i := at - 1; i < len(bodies); i++ {
			dict, data, isStream := strings.Cut(bodies[i], "stream\n")
			dict = reference.ReplaceAllStringFunc(dict, func(r string) string {
				n, _ := strconv.Atoi(strings.Fields(r)[0])
				if n < 5 || i == at-1 && n >= at {
					return r // the page's own, numbered already
				}
				if n < 8 {
					return fmt.Sprintf("%d 0 R", n-2)
				}
				return fmt.Sprintf("%d 0 R", at+2+n-8)
			})
			bodies[i] = dict
			if isStream {
				bodies[i] += "stream\n" + data
			}
		}
	}
	bodies[1] = fmt.Sprintf("<< /Type /Pages /Kids [%s] /Count %d >>", kids, len(list))
	return witness.Handwritten(t, bodies...)
}

var reference = regexp.MustCompile(`\b\d+ 0 R\b`)

// plain drawings need no objects of their own.
var plainDrawings = []drawing{
	{name: "knock-out", content: "1 .5 0 0 k 6 6 60 60 re f /Red cs .7 scn 20 20 30 30 re f 0 0 0 .4 K 4 w 10 10 m 60 60 l S"},
	{name: "overprint", content: "1 .5 0 0 k 6 6 60 60 re f /Over gs /Red cs .7 scn 20 20 30 30 re f 0 0 .3 0 k 30 10 10 50 re f"},
	{name: "overprint mode 1", content: "1 .5 0 0 k 6 6 60 60 re f /Mode gs 0 0 .3 0 k 30 10 10 50 re f 0 0 0 1 K 5 w 10 10 m 60 60 l S 0 .2 0 0 k 10 40 50 10 re f"},
	{name: "fill overprints alone", content: "1 .5 0 0 k 6 6 60 60 re f /FillOnly gs 0 0 .3 0 k 0 0 0 .5 K 6 w 20 20 30 30 re f 20 20 30 30 re S"},
	{name: "stroke overprints alone", content: "1 .5 0 0 k 6 6 60 60 re f /StrokeOnly gs 0 0 .3 0 k 0 0 0 .5 K 6 w 20 20 30 30 re f 20 20 30 30 re S"},
	{name: "overprint and back", content: "1 .5 0 0 k 6 6 60 60 re f q /Mode gs 0 0 0 1 k 10 10 20 20 re f Q 0 0 0 1 k 40 10 20 20 re f /Mode gs 0 0 0 .5 k 10 40 20 20 re f /Off gs 40 40 20 20 re f"},
	{name: "spot overprints spot", content: "/Red cs 1 scn 6 6 40 60 re f /Over gs /Blue cs .5 scn 30 20 36 20 re f"},
	{name: "spot knocks spot out", content: "/Red cs 1 scn 6 6 40 60 re f /Blue cs .5 scn 30 20 36 20 re f"},
	{name: "process overprints spot", content: "/Red cs 1 scn 6 6 40 60 re f /Over gs .5 .2 0 0 k 30 20 36 20 re f"},
	{name: "white overprints in mode 1", content: "1 .5 0 0 k 6 6 60 60 re f /Mode gs 0 0 0 0 k 20 20 30 30 re f"},
	{name: "white overprints in mode 0", content: "1 .5 0 0 k /Red CS 8 w 6 6 60 60 re B /Over gs 0 0 0 0 k 2 20 60 30 re f"},
	{name: "DeviceN", content: "/Two cs .5 .8 scn 6 6 60 60 re f /Three cs .3 1 .6 scn 20 20 30 30 re f"},
	{name: "DeviceN overprints", content: "1 1 1 0 k 6 6 60 60 re f /Over gs /Two cs .5 .8 scn 20 10 30 30 re f /Three cs .3 1 .6 scn 20 30 30 30 re f"},
	{name: "DeviceN of none in mode 1", content: "1 1 1 0 k 6 6 60 60 re f /Mode gs /Two cs 0 .8 scn 20 10 30 30 re f"},
	{name: "NChannel", content: "/NChannel cs .1 .2 .3 .4 .5 scn 6 6 60 60 re f /Over gs 0 0 .5 0 1 scn 30 30 40 40 re f"},
	{name: "None", content: "1 0 0 0 k 6 6 60 60 re f /None cs 1 scn 20 20 30 30 re f"},
	{name: "All", content: "/Red cs .2 scn 2 2 20 20 re f 1 0 0 0 k 6 6 60 60 re f /All cs .6 scn 20 20 30 30 re f"},
	{name: "Separation Black overprints", content: "1 .5 0 0 k 6 6 60 60 re f /Over gs /Black cs .8 scn 20 20 30 30 re f"},
	{name: "grey", content: ".3 g 6 6 60 60 re f .8 G 8 w 20 20 m 50 50 l S"},
	{name: "palette colours", content: "/Palette cs 3 sc 6 6 30 60 re f 1 sc 36 6 30 30 re f /CMYKPalette cs 1 sc 36 36 30 30 re f"},
	{name: "opacity", content: "1 .5 0 0 k 6 6 60 60 re f /Half gs 0 0 1 .2 k 20 20 30 30 re f /Red cs .8 scn 2 2 30 30 re f"},
	{name: "opacity and overprint", content: "1 .5 0 0 k 6 6 60 60 re f /Half gs /Over gs /Red cs .8 scn 20 20 30 30 re f"},
	{name: "multiply", content: ".6 .5 0 0 k /Red CS .5 SCN 8 w 6 6 60 60 re B /Multiply gs .5 0 1 .2 k 20 20 30 30 re f /Red cs .8 scn 2 2 30 30 re f"},
	{name: "screen", content: ".6 .5 0 0 k 6 6 60 60 re f /Screen gs .5 0 1 .2 k 20 20 30 30 re f"},
	{name: "darken and lighten", content: ".6 .5 0 0 k 6 6 60 60 re f /Darken gs .5 .7 1 .2 k 20 20 30 30 re f /Lighten gs .2 .7 0 .1 k 2 30 30 30 re f"},
	{name: "hard light, overlay", content: ".6 .5 0 0 k 6 6 60 60 re f /HardLight gs .5 .7 1 .2 k 20 20 30 30 re f /Overlay gs .2 .7 0 .1 k 2 30 30 30 re f"},
	{name: "soft light, burn, dodge", content: ".6 .5 .1 0 k 6 6 60 60 re f /SoftLight gs .5 .7 1 .2 k 20 20 30 30 re f /Burn gs .2 .7 0 .1 k 2 30 30 30 re f /Dodge gs .4 .7 0 .1 k 30 2 30 30 re f"},
	{name: "difference, exclusion", content: ".6 .5 .1 0 k 6 6 60 60 re f /Difference gs .5 .7 1 .2 k 20 20 30 30 re f /Exclusion gs .2 .7 0 .1 k 2 30 30 30 re f"},
	{name: "clip", content: "q 36 36 m 66 66 l 66 6 l h W n 1 .5 0 0 k 0 0 72 72 re f Q 0 0 0 1 k 6 6 5 60 re f*"},
	{name: "shading", resources: "/Shading << /A << /ShadingType 2 /ColorSpace /DeviceCMYK /Coords [6 0 66 0] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1 0 .2 0] /C1 [0 1 .2 .5] >> /Extend [true true] >> >>",
		content: "q 6 6 60 60 re W n /A sh Q"},
	{name: "shading of spots", resources: "/Shading << /A << /ShadingType 3 /ColorSpace [/DeviceN [/Cyan /Red] /DeviceCMYK 5 0 R] /Coords [36 36 5 36 36 30] /Function << /FunctionType 2 /Domain [0 1] /N 1.5 /C0 [1 0] /C1 [0 1] >> /Extend [true false] >> >>",
		content: "0 0 1 0 k 6 6 60 60 re f /A sh"},
	{name: "shading overprints", resources: "/Shading << /A << /ShadingType 2 /ColorSpace [/Separation /Red /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 .8 0] >>] /Coords [6 0 66 0] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0] /C1 [1] >> >> >>",
		content: "0 .4 1 0 k 6 6 60 60 re f /Over gs q 20 20 60 30 re W n /A sh Q"},
	{name: "CMYK shading overprints in mode 1", resources: "/Shading << /A << /ShadingType 2 /ColorSpace /DeviceCMYK /Coords [6 0 66 0] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [1 0 0 0] >> >> >>",
		content: "0 .4 1 0 k /Red CS 8 w 6 6 60 60 re B /Mode gs q 20 20 60 30 re W n /A sh Q"},
	{name: "shading pattern", resources: "/Pattern << /P << /PatternType 2 /Shading << /ShadingType 2 /ColorSpace /DeviceCMYK /Coords [6 0 66 0] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1 0 .2 0] /C1 [0 1 .2 .5] >> >> >> >>",
		content: "/Pattern cs /P scn 6 6 60 60 re f"},
}

// objectDrawings need objects of their own, from 8 on.
func objectDrawings(t testing.TB) []drawing {
	list := []drawing{
		{name: "tiling pattern", resources: "/Pattern << /P 8 0 R >>", content: "1 0 0 0 k 6 6 30 60 re f /Pattern cs /P scn 6 6 60 60 re f", objects: []string{
			witness.Stream("/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 /Resources << "+spots+" >>", "0 1 0 0 k 0 0 4.5 9 re f /Red cs .5 scn 4.5 0 2.25 9 re f")}},
		{name: "tiling pattern overprints", resources: "/Pattern << /P 8 0 R >>", content: "1 0 0 0 k 6 6 30 60 re f /Over gs /Pattern cs /P scn 6 6 60 60 re f", objects: []string{
			witness.Stream("/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 /Resources << "+spots+" >>", "/Red cs .5 scn 4.5 0 2.25 9 re f")}},
		{name: "uncoloured pattern", resources: "/Pattern << /P 8 0 R >>", content: "1 0 0 0 k 6 6 30 60 re f /Un cs .2 .8 0 0 /P scn 6 6 60 60 re f /UnRed cs .6 /P scn 30 30 20 20 re f", objects: []string{
			witness.Stream("/PatternType 1 /PaintType 2 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 /Resources << >>", "0 0 4.5 9 re f")}},
		{name: "uncoloured pattern overprints", resources: "/Pattern << /P 8 0 R >>", content: "1 0 0 0 k 6 6 30 60 re f /Over gs /UnRed cs .6 /P scn 6 6 60 60 re f", objects: []string{
			witness.Stream("/PatternType 1 /PaintType 2 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 /Resources << >>", "0 0 4.5 9 re f")}},
		{name: "form inherits its colour", resources: "/XObject << /F 8 0 R >>", content: "1 .3 0 0 k /F Do /Red cs .5 scn q 1 0 0 1 30 0 cm /F Do Q q /Over gs 1 0 0 1 15 5 cm /Blue cs .5 scn /F Do Q", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72]", "6 6 25 60 re f")}},
		{name: "group with opacity", resources: "/XObject << /F 8 0 R >>", content: "1 .3 0 0 k 0 0 72 40 re f /Half gs /F Do", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Group << /S /Transparency >> /Resources << "+spots+" >>", "0 0 1 .5 k 6 6 40 60 re f /Red cs .6 scn 30 20 36 30 re f")}},
		{name: "form without group with opacity", resources: "/XObject << /F 8 0 R >>", content: "1 .3 0 0 k 0 0 72 40 re f /Half gs /F Do", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Resources << "+spots+" >>", "0 0 1 .5 k 6 6 40 60 re f /Red cs .6 scn 30 20 36 30 re f")}},
		{name: "isolated group multiplies", resources: "/XObject << /F 8 0 R >>", content: "1 .3 0 0 k 0 0 72 40 re f /Multiply gs /F Do", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Group << /S /Transparency /I true /CS /DeviceCMYK >> /Resources << "+spots+" >>", ".5 0 1 .5 k 6 6 40 60 re f /Red cs .6 scn 30 20 36 30 re f")}},
		{name: "multiply inside a group", resources: "/XObject << /F 8 0 R >>", content: "1 .3 0 0 k 0 0 72 40 re f /F Do", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Group << /S /Transparency /I true /CS /DeviceCMYK >> /Resources << "+spots+" >>", "/Multiply gs .5 0 1 .5 k 6 6 40 60 re f .5 .5 0 0 k 30 20 36 30 re f")}},
		{name: "multiply inside a group that isn't isolated", resources: "/XObject << /F 8 0 R >>", content: ".6 .3 0 0 k 0 0 72 40 re f /F Do", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Group << /S /Transparency >> /Resources << "+spots+" >>", "/Multiply gs .5 0 1 .5 k 6 6 40 60 re f .5 .5 0 0 k 30 20 36 30 re f")}},
		{name: "overprint inside an isolated group", resources: "/XObject << /F 8 0 R >>", content: "1 .3 0 0 k 0 0 72 40 re f /F Do", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Group << /S /Transparency /I true >> /Resources << "+spots+" >>", "/Over gs /Red cs .6 scn 30 20 36 30 re f")}},
		{name: "luminosity mask", states: "/M << /SMask << /S /Luminosity /G 8 0 R >> >>", content: "/M gs 1 .3 0 .2 k 0 0 72 72 re f /Red cs .8 scn 20 20 30 30 re f", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Group << /S /Transparency /CS /DeviceGray /I true >> /Resources << >>", ".5 g 6 6 40 60 re f 1 g 46 6 20 30 re f")}},
		{name: "luminosity mask in CMYK", states: "/M << /SMask << /S /Luminosity /G 8 0 R >> >>", content: "/M gs 1 .3 0 .2 k 0 0 72 72 re f", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Group << /S /Transparency /CS /DeviceCMYK /I true >> /Resources << >>", "0 0 0 .5 k 6 6 40 60 re f 0 0 0 0 k 46 6 20 30 re f")}},
		{name: "alpha mask", states: "/M << /SMask << /S /Alpha /G 8 0 R >> >>", content: "/M gs 1 .3 0 .2 k 0 0 72 72 re f", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Group << /S /Transparency /CS /DeviceCMYK >> /Resources << /ExtGState << /H << /ca .4 >> >> >>", "/H gs 0 0 0 1 k 6 6 40 60 re f")}},
		{name: "Type 3 with colours", resources: "/Font << /T 8 0 R >>", content: "1 0 0 0 k 0 0 72 30 re f /Red cs .5 scn BT /T 40 Tf 6 10 Td (ab) Tj ET", objects: []string{
			"<< /Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [1 0 0 1 0 0] /Encoding << /Differences [97 /a /b] >> /FirstChar 97 /LastChar 98 /Widths [.8 .8] /CharProcs << /a 9 0 R /b 10 0 R >> /Resources << >> >>",
			witness.Stream("", ".8 0 0 0 .7 .7 d1 0 0 .7 .7 re f"), witness.Stream("", ".8 0 d0 0 1 0 .5 k 0 0 .4 .7 re f")}},
		{name: "Type 3 overprints", resources: "/Font << /T 8 0 R >>", content: "1 0 0 0 k 0 0 72 30 re f /Over gs /Red cs .5 scn BT /T 40 Tf 6 10 Td (ab) Tj ET", objects: []string{
			"<< /Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [1 0 0 1 0 0] /Encoding << /Differences [97 /a /b] >> /FirstChar 97 /LastChar 98 /Widths [.8 .8] /CharProcs << /a 9 0 R /b 10 0 R >> /Resources << >> >>",
			witness.Stream("", ".8 0 0 0 .7 .7 d1 0 0 .7 .7 re f"), witness.Stream("", ".8 0 d0 0 0 .4 .7 re f")}},
		{name: "text", resources: "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >> >>", content: "1 .2 0 0 k 0 0 72 30 re f BT /Over gs /Red cs .7 scn /F 30 Tf 4 20 Td (HHI) Tj 0 -18 Td 1 Tr 2 w 0 0 0 1 K (HH) Tj ET"},
		{name: "text of which only the stroke shows in a plate", resources: "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >> >>", content: "1 .2 0 0 k 0 0 72 30 re f BT /Over gs /Red cs .7 scn /Blue CS 1 SCN 1.5 w 2 Tr /F 40 Tf 4 20 Td (HI) Tj ET"},
		{name: "stencil", resources: "/XObject << /I 8 0 R >>", content: "1 .3 0 0 k 0 0 72 30 re f q 60 0 0 60 6 6 cm /Red cs .5 scn /I Do Q q /Mode gs 0 0 1 0 k 20 0 0 60 6 6 cm /I Do Q", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Image /ImageMask true /Width 8 /Height 4 /BitsPerComponent 1 /Filter /ASCIIHexDecode", "55AA 0FF0>")}},
		{name: "inline image", content: "q 60 0 0 60 6 6 cm BI /W 2 /H 2 /CS /CMYK /BPC 8 /F /AHx ID\nFF000000 00FF0000 0000FF00 404040C0>\nEI Q q 20 0 0 20 0 0 cm BI /W 4 /H 4 /CS /G /BPC 1 /F /AHx ID 50A050A0> EI Q"},
		{name: "inline stencil", content: ".1 .9 0 0 k q 60 0 0 60 6 6 cm BI /W 4 /H 4 /IM true /F /AHx ID 50A050A0> EI Q"},
	}
	return append(list, imageDrawings(t)...)
}

// imageDrawings are an image of CMYK, or of what is named, in every filter.
func imageDrawings(t testing.TB) []drawing {
	cmyk := make([]byte, 0, 16*16*4)
	grey := make([]byte, 0, 256)
	for y := range 16 {
		for x := range 16 {
			cmyk = append(cmyk, byte(x*17), byte(y*17), byte(255-x*17), byte((x*y)%200))
			grey = append(grey, byte(x*8+y*8))
		}
	}
	picture := func(name, dict string, data []byte, before string) drawing {
		return drawing{name: "image, " + name, resources: "/XObject << /I 8 0 R >>", content: before + " q 60 0 0 60 6 6 cm /I Do Q",
			objects: []string{witness.Stream("/Type /XObject /Subtype /Image /Width 16 /Height 16 "+dict, string(data))}}
	}
	embedded, err := os.ReadFile("testdata/cmyk.jpg")
	if err != nil {
		t.Fatal(err)
	}
	const deviceN = "/ColorSpace [/DeviceN [/Cyan /Red] /DeviceCMYK 5 0 R] /BitsPerComponent 8"
	hexed := func(b []byte) []byte { return []byte(hex.EncodeToString(b) + ">") }
	list := []drawing{
		picture("plain", "/ColorSpace /DeviceCMYK /BitsPerComponent 8", cmyk, ""),
		picture("hexadecimal", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /ASCIIHexDecode", hexed(cmyk), ""),
		picture("base 85", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /ASCII85Decode", base85(cmyk), ""),
		picture("deflated", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /FlateDecode", deflated(cmyk), ""),
		picture("LZW", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /LZWDecode /DecodeParms << /EarlyChange 0 >>", lzwed(cmyk), ""),
		picture("run lengths", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /RunLengthDecode", runs(cmyk), ""),
		picture("decoded in reverse", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Decode [1 0 1 0 1 0 1 0]", cmyk, ""),
		picture("grey", "/ColorSpace /DeviceGray /BitsPerComponent 8", grey, "1 0 0 0 k 0 0 72 30 re f"),
		picture("of one bit", "/ColorSpace /DeviceGray /BitsPerComponent 1", []byte(strings.Repeat("\x0f\x33\x55\xff", 8)), "1 0 0 0 k 0 0 72 30 re f"),
		picture("of a spot of one bit", "/ColorSpace [/Separation /Red /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 .8 0] >>] /BitsPerComponent 1", []byte(strings.Repeat("\x0f\x33\x55\xff", 8)), "1 0 0 0 k 0 0 72 30 re f"),
		picture("DeviceN", deviceN, cmyk[:512], "0 .5 1 0 k 0 0 72 30 re f"),
		picture("DeviceN overprints", deviceN, cmyk[:512], "0 .5 1 0 k 0 0 72 30 re f /Over gs"),
		picture("CMYK overprints in mode 1", "/ColorSpace /DeviceCMYK /BitsPerComponent 8", cmyk, "/Red cs 1 scn 0 0 72 30 re f 0 .5 1 0 k 0 40 72 20 re f /Mode gs"),
		picture("palette", "/ColorSpace [/Indexed /DeviceCMYK 3 <FF000000 00FF0000 0000FF00 404040C0>] /BitsPerComponent 2", bytes.Repeat([]byte{0x1b, 0xe4, 0x33, 0x0f}, 16), ""),
		picture("palette of spots", "/ColorSpace [/Indexed [/DeviceN [/Cyan /Red] /DeviceCMYK 5 0 R] 3 <0000 FF00 00FF 80C0>] /BitsPerComponent 2", bytes.Repeat([]byte{0x1b, 0xe4, 0x33, 0x0f}, 16), ""),
		picture("16 bits", "/ColorSpace /DeviceCMYK /BitsPerComponent 16", doubled(cmyk), ""),
		picture("colour key", "/ColorSpace [/Indexed /DeviceCMYK 3 <FF000000 00FF0000 0000FF00 404040C0>] /BitsPerComponent 2 /Mask [1 1]", bytes.Repeat([]byte{0x1b, 0xe4, 0x33, 0x0f}, 16), "0 0 0 .5 k 0 0 72 30 re f"),
		picture("CMYK JPEG", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /DCTDecode /Decode [1 0 1 0 1 0 1 0]", embedded, ""),
		picture("grey JPEG", "/ColorSpace /DeviceGray /BitsPerComponent 8 /Filter /DCTDecode", greyJPEG(t), "1 0 0 0 k 0 0 72 30 re f"),
		picture("JPEG of a spot", "/ColorSpace [/Separation /Red /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 .8 0] >>] /BitsPerComponent 8 /Filter /DCTDecode", greyJPEG(t), "1 0 0 0 k 0 0 72 30 re f"),
	}
	const circle = "/BitsPerComponent 1 /Filter /CCITTFaxDecode /DecodeParms << /K -1 /Columns 16 /Rows 16 "
	const spot = "/ColorSpace [/Separation /Red /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 .8 0] >>] "
	list = append(list,
		picture("CCITT", "/ColorSpace /DeviceGray "+circle+">>", group4, "1 0 0 0 k 0 0 72 30 re f"),
		picture("CCITT of a spot", spot+circle+"/BlackIs1 true >>", group4, ""),
		picture("CCITT stencil", "/ImageMask true "+circle+">>", group4, "0 .4 .8 0 k"),
		picture("JBIG2", "/ColorSpace /DeviceGray /BitsPerComponent 1 /Filter /JBIG2Decode", jbig2(), "1 0 0 0 k 0 0 72 30 re f"),
		picture("JPEG 2000", "/ColorSpace /DeviceGray /BitsPerComponent 8 /Filter /JPXDecode", jpeg2000, "1 0 0 0 k 0 0 72 30 re f"),
		picture("JPEG 2000 of a spot", spot+"/BitsPerComponent 8 /Filter /JPXDecode", jpeg2000, ""),
		picture("PNG's predictors", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /FlateDecode /DecodeParms << /Predictor 15 /Colors 4 /Columns 16 >>", deflated(foretold(cmyk)), ""),
		picture("TIFF's predictor", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /LZWDecode /DecodeParms << /Predictor 2 /Colors 4 /Columns 16 /EarlyChange 0 >>", lzwed(differing(cmyk)), ""))
	masked := picture("soft mask", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /SMask 9 0 R", cmyk, "0 0 0 .5 k 0 0 72 30 re f")
	masked.objects = append(masked.objects, witness.Stream("/Type /XObject /Subtype /Image /Width 16 /Height 16 /ColorSpace /DeviceGray /BitsPerComponent 8", string(grey)))
	stencilled := picture("stencil mask", "/ColorSpace /DeviceCMYK /BitsPerComponent 8 /Mask 9 0 R", cmyk, "0 0 0 .5 k 0 0 72 30 re f")
	stencilled.objects = append(stencilled.objects, witness.Stream("/Type /XObject /Subtype /Image /Width 16 /Height 16 /ImageMask true /BitsPerComponent 1", strings.Repeat("\x0f\x33\x55\xff", 8)))
	return append(list, masked, stencilled)
}

// A disc of 16 x 16 pixels by ITU-T T.6, and an image that runs from 0 to 225 by
// ISO/IEC 15444-1, both as libtiff and OpenJPEG write them.
var (
	group4   = mustHex("cfd083a74fd3fed7b56a185180080080")
	jpeg2000 = mustHex("0000000c6a5020200d0a870a00000014667479706a703220000000006a7032200000002d6a703268000000166968647200000010000000100001070700000000000f636f6c720100000000001100" +
		"0000ae6a703263ff4fff510029000000000010000000100000000000000000000000100000001000000000000000000001070101ff52000c00000001000404040001ff5c00104040484850484850" +
		"484850484850ff640025000143726561746564206279204f70656e4a5045472076657273696f6e20322e352e30ff90000a0000000000300001ff93c7d404098fcfc008047fc7da06000d02fdc3ea" +
		"0500221a105cbfc0f9020036a18547ffd9")
)

func mustHex(s string) []byte {
	b, err := hex.DecodeString(s)
	if err != nil {
		panic(err)
	}
	return b
}

// jbig2 is the disc as a page with one generic region in MMR, ITU-T T.88 7.4.6 and
// 7.4.8.
func jbig2() []byte {
	const size = "\x00\x00\x00\x10\x00\x00\x00\x10"
	segment := func(n, kind byte, data string) []byte {
		return append([]byte{0, 0, 0, n, kind, 0, 1, 0, 0, 0, byte(len(data))}, data...)
	}
	page := segment(0, 48, size+strings.Repeat("\x00", 11))
	return append(page, segment(1, 38, size+strings.Repeat("\x00", 9)+"\x01"+string(group4))...)
}

// foretold gives rows of 16 CMYK pixels to PNG's filters none, sub and up in turn.
func foretold(b []byte) []byte {
	const row = 64
	var out []byte
	for y := range len(b) / row {
		out = append(out, byte(y%3))
		for x := range row {
			v := b[y*row+x]
			switch {
			case y%3 == 1 && x >= 4:
				v -= b[y*row+x-4]
			case y%3 == 2:
				v -= b[(y-1)*row+x]
			}
			out = append(out, v)
		}
	}
	return out
}

// differing gives rows of 16 CMYK pixels to TIFF's predictor.
func differing(b []byte) []byte {
	out := bytes.Clone(b)
	for i := len(b) - 1; i >= 0; i-- {
		if i%64 >= 4 {
			out[i] -= b[i-4]
		}
	}
	return out
}

func deflated(b []byte) []byte {
	var out bytes.Buffer
	z := zlib.NewWriter(&out)
	z.Write(b)
	z.Close()
	return out.Bytes()
}

func lzwed(b []byte) []byte {
	var out bytes.Buffer
	z := lzw.NewWriter(&out, lzw.MSB, 8)
	z.Write(b)
	z.Close()
	return out.Bytes()
}

func base85(b []byte) []byte {
	out := make([]byte, ascii85.MaxEncodedLen(len(b)))
	return append(out[:ascii85.Encode(out, b)], "~>"...)
}

func runs(b []byte) []byte {
	var out []byte
	for len(b) > 0 {
		n := min(128, len(b))
		out = append(append(out, byte(n-1)), b[:n]...)
		b = b[n:]
	}
	return append(out, 128)
}

func doubled(b []byte) []byte {
	var out []byte
	for _, v := range b {
		out = append(out, v, 0)
	}
	return out
}

func greyJPEG(t testing.TB) []byte {
	img := image.NewGray(image.Rect(0, 0, 16, 16))
	for i := range img.Pix {
		img.Pix[i] = byte(i / 2)
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 100}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestHandwritten compares the plates of each drawing with tiffsep's.
func TestHandwritten(t *testing.T) {
	if testing.Short() {
		t.Skip("runs Ghostscript on a hundred pages")
	}
	list := append(plainDrawings, objectDrawings(t)...)
	path := book(t, list)
	theirs := witness.FairPlates(t, path, 600)
	page, r := leaf(t, path), renderer(t)
	close := 0
	for i, d := range list {
		set := New(page(i+1), r, Options{})
		ink, by := worst(apart(t, set, theirs[i]))
		allowed := .7
		if a := farther[d.name]; a != 0 {
			allowed = a
		}
		if math.Abs(by) <= .5 {
			close++
		}
		if math.Abs(by) > allowed {
			t.Errorf("%s: %s is off by %.2f points of coverage", d.name, ink, by)
		}
		if told := set.Approximate(); len(told) > 0 {
			t.Errorf("%s: %v is told as approximate", d.name, told)
		}
	}
	t.Logf("%d of %d drawings are within half a point", close, len(list))
	if close*100 < len(list)*95 {
		t.Errorf("%d of %d drawings are within half a point, want 95 of 100", close, len(list))
	}
}

// farther allows more where tiffsep itself is off. The radial shading's cyan is
// (25 + 50 (5 (1 - 1/2.5) + 25 (1/2 - 1/3.5))) pi / 72^2 = 26.84 %, its red
// 27.70 %: we say 27.08 and 27.38, tiffsep 26.49 and 28.18.
var farther = map[string]float64{"shading of spots": .9}

// TestShortNamesAreOfInlineImages: elsewhere the resources may call a space G, RGB,
// CMYK or I (ISO 32000-2, 8.9.7). Ghostscript 10.00 takes three of them for device
// spaces, so that the areas are the witness: quarters of the page.
func TestShortNamesAreOfInlineImages(t *testing.T) {
	r := renderer(t)
	for _, name := range []string{"G", "RGB", "CMYK", "I"} {
		content := "/" + name + " cs 1 scn 0 0 36 36 re f q 36 0 0 36 36 36 cm BI /W 1 /H 1 /CS /G /BPC 8 /F /AHx ID\n00>\nEI Q " +
			"q 36 0 0 36 0 36 cm BI /W 1 /H 1 /CS [/I /CMYK 0 <0000FF00>] /BPC 8 /F /AHx ID\n00>\nEI Q"
		path := witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
			"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 72 72] /Contents 4 0 R /Resources << /ColorSpace << /"+name+
				" [/Separation /Red /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 .8 0] >>] >> >> >>", witness.Stream("", content))
		set := New(opened(t, path, 1), r, Options{DPI: 72})
		got := map[string]float64{}
		for i, k := range set.Inks {
			img, err := set.Raster(t.Context(), i)
			if err != nil {
				t.Fatal(err)
			}
			got[k.Name] = mean(img)
		}
		for ink, want := range map[string]float64{"Red": 25, "Black": 25, "Yellow": 25} {
			if math.Abs(got[ink]-want) > .5 {
				t.Errorf("a space that is called %s: %s covers %.2f %%, want %.0f", name, ink, got[ink], want)
			}
		}
	}
}

// TestNamedAsApproximate draws what doesn't come right on a plate by itself.
func TestNamedAsApproximate(t *testing.T) {
	list := []drawing{
		{name: "colours in DeviceRGB", content: "1 .5 0 rg 0 0 9 9 re f"},
		{name: "blend mode Luminosity", states: "/L << /BM /Luminosity >>", content: "1 .5 0 0 k 0 0 30 30 re f /L gs 0 1 0 0 k 9 9 30 30 re f"},
		{name: "a knockout group", resources: "/XObject << /F 8 0 R >>", content: "/F Do", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Group << /S /Transparency /K true >>", "1 0 0 0 k 0 0 9 9 re f")}},
		{name: "a group blends in RGB", resources: "/XObject << /F 8 0 R >>", content: "/F Do", objects: []string{
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Group << /S /Transparency /CS /DeviceRGB >>", "1 0 0 0 k 0 0 9 9 re f")}},
		{name: "transfer functions", states: "/T << /TR << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1] /C1 [0] >> >>", content: "/T gs 1 0 0 0 k 0 0 9 9 re f"},
	}
	path := book(t, list)
	r := renderer(t)
	for i, d := range list {
		set := New(opened(t, path, i+1), r, Options{DPI: 72})
		for k := range set.Inks {
			if _, err := set.Raster(context.Background(), k); err != nil {
				t.Fatal(err)
			}
		}
		told := set.Approximate()
		if len(told) != 1 || told[0].What != d.name || told[0].Why == "" {
			t.Errorf("%s: %v", d.name, told)
		}
	}
}
