package contour

import (
	"bytes"
	"compress/gzip"
	"strings"
	"testing"
	"unicode/utf16"

	"quoin/impose/say"
)

// TestOnlyWhatIsShown: however a drawing hides a part, it isn't cut, and that is
// said.
func TestOnlyWhatIsShown(t *testing.T) {
	const cut = `<rect id="cut" width="40" height="30"/>`
	for hidden, said := range map[string]string{
		`<g style="display:none"><circle r="90"/></g>`:                                                  "1 hidden part",
		`<circle r="90" display="none"/>`:                                                               "1 hidden part",
		`<g visibility="hidden"><circle r="90"/></g>`:                                                   "1 invisible part",
		`<circle r="90" style="opacity:0"/>`:                                                            "1 transparent part",
		`<circle r="90" style="fill:none"/>`:                                                            "1 part without fill and stroke",
		`<g fill="none" stroke="none"><circle r="90"/></g>`:                                             "1 part without fill and stroke",
		`<style>/* x */ .st0,#no{display:none}</style><circle class="a st0" r="90"/>`:                   "1 hidden part",
		`<style>circle.st0{display : none !important}</style><circle class="st0" r="90"/>`:              "1 hidden part",
		`<style>#n{visibility:hidden}</style><g id="n"><circle r="90"/></g>`:                            "1 invisible part",
		`<g visibility="hidden"><rect visibility="visible" width="40" height="30"/></g>`:                "1 contour drawn twice",
		`<defs><circle id="c" r="90"/></defs><g style="display:none"><use href="#c"/></g>`:              "1 hidden part",
		`<symbol id="c"><circle r="90"/></symbol><clipPath id="d"><circle r="90"/></clipPath>`:          "",
		`<style>g > .st0{display:none}</style><rect class="st0" width="40" height="30"/>`:               "1 contour drawn twice",
		`<style>rect{fill:none;stroke:#000}</style><g stroke="none"><rect width="40" height="30"/></g>`: "1 contour drawn twice",
	} {
		d := readSVG(t, svgOf(cut+hidden), Options{})
		if len(d.Outline.Contours()) != 1 || d.Outline.Area() != 1200 {
			t.Errorf("%s: %d contours of %g mm2", hidden, len(d.Outline.Contours()), d.Outline.Area())
		}
		if got := d.Left(); got != said {
			t.Errorf("%s: skipped %s", hidden, got)
		}
	}
}

// TestReferences: what use draws, where and how large.
func TestReferences(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		area float64
	}{
		"moved and turned":       {`<defs><rect id="r" width="10" height="20"/></defs><use href="#r" x="5" y="5" transform="rotate(30) scale(2,-1)"/>`, 400},
		"of a group, twice":      {`<g id="g"><rect width="10" height="10"/></g><use href="#g" x="20"/>`, 200},
		"by a use":               {`<defs><rect id="r" width="3" height="4"/><use id="u" href="#r" transform="scale(2)"/></defs><use href="#u" transform="scale(3)"/>`, 12 * 36},
		"a symbol, fitted":       {`<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol><use href="#s" width="30" height="60"/>`, 900},
		"a symbol, stretched":    {`<symbol id="s" viewBox="5 5 10 10" preserveAspectRatio="none"><rect width="10" height="10"/></symbol><use href="#s" width="30" height="60"/>`, 1800},
		"an svg in the drawing":  {`<svg x="3" y="4" width="20" height="10" viewBox="0 0 2 1"><rect width="2" height="1"/></svg>`, 200},
		"an svg without a size":  {`<svg><rect width="7" height="3"/></svg>`, 21},
		"a clone beside another": {`<rect id="a" width="5" height="5"/><use href="#a" transform="translate(6)"/>`, 50},
	} {
		if d := readSVG(t, svgOf(c.text), Options{}); d.Outline.Area() < c.area-1e-4 || d.Outline.Area() > c.area+1e-4 {
			t.Errorf("%s: %g mm2, want %g", name, d.Outline.Area(), c.area)
		}
	}
}

// TestEncodings: the same drawings in other dress.
func TestEncodings(t *testing.T) {
	wide := func(s string, big, mark bool) []byte {
		units := utf16.Encode([]rune(s))
		if mark {
			units = append([]uint16{0xfeff}, units...)
		}
		var b []byte
		for _, u := range units {
			if big {
				b = append(b, byte(u>>8), byte(u))
			} else {
				b = append(b, byte(u), byte(u>>8))
			}
		}
		return b
	}
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	z.Write([]byte(svgOf(`<circle r="20"/>`)))
	z.Close()
	for name, data := range map[string][]byte{
		"a mark of UTF-8": []byte("\ufeff" + svgOf(`<circle r="20"/>`)),
		"UTF-16":          wide(`<?xml version="1.0" encoding="UTF-16"?>`+svgOf(`<circle r="20"/><desc>Größe</desc>`), false, true),
		"UTF-16, big":     wide(`<?xml version="1.0" encoding="UTF-16"?>`+svgOf(`<circle r="20"/>`), true, true),
		"UTF-16, no mark": wide(`<?xml version="1.0" encoding="utf-16"?>`+svgOf(`<circle r="20"/>`), false, false),
		"ISO 8859-1":      append([]byte(`<?xml version="1.0" encoding="ISO-8859-1"?>`), []byte(svgOf("<desc>Gr\xf6\xdfe</desc><circle r=\"20\"/>"))...),
		"windows-1252":    append([]byte(`<?xml version="1.0" encoding="windows-1252"?>`), []byte(svgOf("<desc>\x80</desc><circle r=\"20\"/>"))...),
		"packed":          packed.Bytes(),
	} {
		d, err := ReadSVG(bytes.NewReader(data), Options{})
		if err != nil || d.Outline.Bounds().Size().Across != 40*mm {
			t.Errorf("%s: %v, %v", name, d, err)
		}
	}
	for name, data := range map[string][]byte{
		"UTF-16":          wide(entities("0 CIRCLE 8 CUT 10 0 20 0 40 20"), false, true),
		"a mark of UTF-8": []byte("\ufeff" + entities("0 CIRCLE 8 CUT 10 0 20 0 40 20")),
	} {
		if d, err := ReadDXF(bytes.NewReader(data), inMM); err != nil || d.Outline.Bounds().Size().Across != 40*mm {
			t.Errorf("DXF in %s: %v", name, err)
		}
	}
	if _, err := ReadSVG(bytes.NewReader(packed.Bytes()[:packed.Len()-9]), Options{}); err == nil || say.Hint(err) == "" {
		t.Errorf("cut short: %v", err)
	}
	// Names in the code pages of old releases, and in none.
	of := func(page string) string {
		return "0\nSECTION\n2\nHEADER\n9\n$DWGCODEPAGE\n3\n" + page + "\n0\nENDSEC\n"
	}
	for _, c := range [][3]string{
		{of("ANSI_1252"), "Au\xdfen", "Außen"}, {of("ansi_1251"), "\xd0\xe5\xe7", "Рез"}, {of("ANSI_932"), "\x83\x4a\x83\x62\x83\x67", "カット"},
		{of("DOS850"), "Au\xe1en", "Außen"}, {"", "Au\xdfen", "Außen"}, {of("ANSI_1252"), "Außen", "Außen"},
	} {
		if d := readDXF(t, c[0]+entities("0 CIRCLE 8 "+c[1]+" 10 0 20 0 40 20"), inMM); strings.Join(d.Layers, "") != c[2] {
			t.Errorf("%q: layers %v, want %s", c[0], d.Layers, c[2])
		}
	}
	if _, err := ReadDXF(strings.NewReader(of("ANSI_0")+entities("0 CIRCLE 8 \xdf 10 0 20 0 40 20")), inMM); err == nil || say.Hint(err) == "" || !strings.Contains(err.Error(), "ANSI_0") {
		t.Errorf("an unknown code page: %v", err)
	}
	// A name in DXF's own escapes.
	if d := readDXF(t, entities(`0 CIRCLE 8 Gr\U+00F6\U+00DFe 10 0 20 0 40 20`), Options{Unit: mm, Only: "GRößE"}); strings.Join(d.Layers, "") != "Größe" {
		t.Errorf("layers %v", d.Layers)
	}
}

// TestGaps: gaps up to MostGap are closed and told of; wider ones are refused.
func TestGaps(t *testing.T) {
	text := func(gap string) string {
		return svgOf(`<path d="M0 0H40V30H0V` + gap + `"/>`)
	}
	d := readSVG(t, text("0.09"), Options{})
	if d.Outline.Area() != 1200 || len(d.Gaps) != 1 || d.Taken() != "1 closed contour, 40 x 30 mm, 1,200 mm2, sharp outer corners; a gap of 0.09 mm at 0, 0.09 mm was closed" {
		t.Errorf("%g mm2, %s", d.Outline.Area(), d.Taken())
	}
	if _, err := ReadSVG(strings.NewReader(text("0.11")), Options{}); err == nil || !strings.Contains(err.Error(), "0.11 mm apart") {
		t.Errorf("a wider gap: %v", err)
	}
}

// TestBlocks: circles that hold themselves, and layers of blocks, by what DXF
// programs show: parts on layer 0 are on the layer of the INSERT.
func TestBlocks(t *testing.T) {
	blocks := func(layers, text, model string) string {
		return "0\nSECTION\n2\nTABLES\n" + tags(layers) + "0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n" + tags(text) + "0\nENDSEC\n" + entities(model)
	}
	off := "0 LAYER 2 OFF 70 0 62 -7 0 LAYER 2 ICE 70 1 62 7 "
	label := "0 BLOCK 2 L 10 0 20 0 0 CIRCLE 8 0 10 0 20 0 40 10 0 CIRCLE 8 HOLE 10 0 20 0 40 5 0 ENDBLK "
	for name, c := range map[string]struct {
		text     string
		contours int
		left     string
	}{
		"shown":               {blocks(off, label, "0 INSERT 8 CUT 2 L 10 0 20 0"), 2, ""},
		"on a layer off":      {blocks(off, label, "0 INSERT 8 OFF 2 L 10 0 20 0"), 1, "1 part on layer OFF, which is off"},
		"on a frozen layer":   {blocks(off, label, "0 INSERT 8 ICE 2 L 10 0 20 0 0 CIRCLE 8 CUT 10 0 20 0 40 9"), 1, "1 part on layer ICE, which is frozen"},
		"with its attributes": {blocks(off, label, "0 INSERT 8 CUT 66 1 2 L 10 0 20 0 0 ATTRIB 8 CUT 1 X 0 SEQEND"), 2, ""},
	} {
		d := readDXF(t, c.text, inMM)
		if len(d.Outline.Contours()) != c.contours || d.Left() != c.left {
			t.Errorf("%s: %d contours, left %q", name, len(d.Outline.Contours()), d.Left())
		}
	}
	if d := readDXF(t, blocks(off, label, "0 INSERT 8 CUT 2 L 10 0 20 0"), Options{Unit: mm, Only: "hole"}); len(d.Outline.Contours()) != 1 || d.Outline.Bounds().Size().Across != 10*mm {
		t.Errorf("one layer of a block: %v", d.Outline.Bounds())
	}
	for name, text := range map[string]string{
		"itself":   blocks("", "0 BLOCK 2 A 0 INSERT 2 B 0 ENDBLK 0 BLOCK 2 B 0 INSERT 2 A 0 ENDBLK ", "0 INSERT 2 A"),
		"scale 0":  blocks("", label, "0 INSERT 2 L 41 0"),
		"copies":   blocks("", label, "0 INSERT 2 L 70 30000 71 30000"),
		"no end":   blocks("", "0 BLOCK 2 A 0 CIRCLE 10 0 20 0 40 1 ", "0 INSERT 2 A"),
		"all off":  blocks(off, "", "0 CIRCLE 8 OFF 10 0 20 0 40 1"),
		"far away": blocks("", label, "0 INSERT 2 L 10 1e300 41 1e300"),
	} {
		if _, err := ReadDXF(strings.NewReader(text), inMM); err == nil || say.Hint(err) == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}
