package contour

import (
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/say"
)

func svgOf(body string) string {
	return "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"100mm\" viewBox=\"0 0 100 100\">\n" + body + "\n</svg>"
}

func readSVG(t testing.TB, text string, o Options) *Drawing {
	t.Helper()
	d, err := ReadSVG(strings.NewReader(text), o)
	if err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	return d
}

// TestElements reads the same shapes drawn in different ways.
func TestElements(t *testing.T) {
	ok := need(t)
	rounded := ok(outline.Rectangle(geometry.Size{Across: 50 * mm, Around: 30 * mm}, 4*mm))
	sharp := ok(outline.Rectangle(geometry.Size{Across: 50 * mm, Around: 30 * mm}, 0))
	circle := ok(outline.Circle(20 * mm))
	ellipse := ok(outline.Ellipse(geometry.Size{Across: 40 * mm, Around: 20 * mm}))
	for name, c := range map[string]struct {
		body string
		want outline.Outline
	}{
		"rect":              {`<rect x="10" y="20" width="50" height="30" rx="4"/>`, rounded},
		"rect, ry":          {`<rect x="10" y="20" width="50" height="30" ry="4"/>`, rounded},
		"sharp rect":        {`<rect width="50" height="30"/>`, sharp},
		"polygon":           {`<polygon points="0,0 50,0 50,30,0,30"/>`, sharp},
		"polyline":          {`<polyline points="0,0 50,0 50,30,0,30 0 0"/>`, sharp},
		"lines":             {`<line x2="50"/><line x1="50" x2="50" y2="30"/><line y1="30" y2="30" x2="50"/><line y2="30"/>`, sharp},
		"path":              {`<path d="M5 5h50v30h-50z"/>`, sharp},
		"path of arcs":      {`<path d="m14 20 h42 a4 4 0 0 1 4,4 v22 a4,4,0,0,1-4,4 h-42 a4 4 0 01-4-4 v-22 a4 4 0 014-4z"/>`, rounded},
		"path, left open":   {`<path d="M0 0L50 0L50 30L0 30L0 0"/>`, sharp},
		"lines behind M":    {`<path d="M0 0 50 0 50 30 0 30Z"/>`, sharp},
		"circle":            {`<circle cx="30" cy="30" r="10"/>`, circle},
		"circle, moved":     {`<g transform="translate(5,6)"><circle r="10" transform="rotate(33)"/></g>`, circle},
		"circle, mirrored":  {`<circle r="5" transform="scale(-2 2)"/>`, circle},
		"circle, pressed":   {`<circle r="10" transform="matrix(2 0 0 1 7 8)"/>`, ellipse},
		"ellipse":           {`<ellipse cx="1" cy="2" rx="20" ry="10"/>`, ellipse},
		"ellipse, turned":   {`<ellipse rx="10" ry="20" transform="rotate(90 3 4)"/>`, ellipse},
		"arcs of it":        {`<path d="M0 10A20 10 0 0 1 40 10A20 10 0 0 1 0 10"/>`, ellipse},
		"arcs, tilted":      {`<path d="M0 10A10 20 90 1 1 40 10A10 20 90 1 1 0 10"/>`, ellipse},
		"arc too small":     {`<path d="M0 0A1 1 0 0 1 20 0A3 3 0 0 1 0 0Z"/>`, circle},
		"with units":        {`<rect width="50mm" height="3cm"/>`, ok(outline.Rectangle(geometry.Size{Across: geometry.FromMM(50 * 96 / 25.4), Around: geometry.FromMM(30 * 96 / 25.4)}, 0))},
		"definitions apart": {`<defs><circle r="40"/></defs><clipPath><rect width="9" height="9"/></clipPath><rect width="50" height="30"/>`, sharp},
	} {
		alike(t, name, readSVG(t, svgOf(c.body), Options{}).Outline, c.want, 3)
	}
}

// TestCurvesOfSVG holds curve commands, smooth and relative ones, against the
// same course written out.
func TestCurvesOfSVG(t *testing.T) {
	long := readSVG(t, svgOf(`<path d="M0 0C0 20 20 20 20 0C20 -20 40 -20 40 0L40 50L0 50Z"/>`), Options{}).Outline
	for name, d := range map[string]string{
		"smooth":   "M0 0C0 20 20 20 20 0S40 -20 40 0V50H0Z",
		"relative": "m0 0c0 20 20 20 20 0s20-20 20 0v50h-40z",
		"compact":  "M0,0C0,20,20,20,20,0S4e1-20,40,0V50H0Z",
	} {
		got := readSVG(t, svgOf(`<path d="`+d+`"/>`), Options{}).Outline
		alike(t, name, got, long, 1)
	}
	// A parabola: area 2/3 of base times height (Archimedes).
	parabola := readSVG(t, svgOf(`<path d="M0 0Q30 40 60 0Z"/>`), Options{}).Outline
	near(t, "parabola", parabola.Area(), 60*20*2.0/3, 1e-4)
	double := readSVG(t, svgOf(`<path d="M0 0Q15 20 30 0T60 0V40H0Z"/>`), Options{}).Outline
	near(t, "two parabolas, one up and one down", double.Area(), 60*40, 1e-4)
	near(t, "height", double.Bounds().Size().Around.MM(), 50, 1e-5)
}

func TestSVGUnits(t *testing.T) {
	for name, c := range map[string]struct {
		head string
		unit geometry.Length
		want geometry.Length
	}{
		"mm":           {`width="210mm" height="297mm" viewBox="0 0 210 297"`, 0, 10 * mm},
		"pt":           {`width="210mm" height="297mm" viewBox="0 0 595.275590551 841.88976378"`, 0, geometry.FromMM(10 * 25.4 / 72)},
		"pixels":       {`width="200" height="200"`, 0, geometry.FromMM(10 * 25.4 / 96)},
		"inches":       {`width="2in" height="2in" viewBox="0 0 200 200"`, 0, 100_000 * 25 * geometry.Nanometre * 254 / 250},
		"fitted":       {`width="100mm" height="300mm" viewBox="0 0 50 50"`, 0, 20 * mm},
		"asked":        {`viewBox="0 0 50 50"`, geometry.Inch / 10, geometry.Inch},
		"asked anyway": {`width="100mm" height="100mm" viewBox="0 0 50 50"`, mm, 10 * mm},
	} {
		d := readSVG(t, `<svg `+c.head+`><rect width="10" height="10"/></svg>`, Options{Unit: c.unit})
		if got := d.Outline.Bounds().Size().Across; max(got-c.want, c.want-got) > 1 {
			t.Errorf("%s: 10 units are %v, want %v", name, got, c.want)
		}
	}
	stretched := readSVG(t, `<svg width="100mm" height="300mm" viewBox="0 0 50 50" preserveAspectRatio="none"><circle r="10"/></svg>`, Options{}).Outline
	if got := stretched.Bounds().Size(); got != (geometry.Size{Across: 40 * mm, Around: 120 * mm}) {
		t.Errorf("stretched: %v", got)
	}
}

func TestOnly(t *testing.T) {
	text := svgOf(`<g id="art"><circle r="30"/><use href="#x"/></g><g id="die"><rect id="a" width="20" height="10"/><text>x</text></g>`)
	d := readSVG(t, text, Options{Only: "die"})
	near(t, "die", d.Outline.Area(), 200, 1e-9)
	if len(d.Skipped) != 1 || d.Left() != "1 text" {
		t.Errorf("skipped: %v", d.Skipped)
	}
	near(t, "by its own id", readSVG(t, text, Options{Only: "a"}).Outline.Area(), 200, 1e-9)
}

// TestFaultsOfSVG: every refusal names the line of the file.
func TestFaultsOfSVG(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"empty":      {"", "the file holds no svg element"},
		"html":       {"<html></html>", `line 1: the file begins with the element "html", not svg`},
		"damaged":    {"<svg width=\"1mm\" height=\"1mm\">\n<g></svg>", "line 2: the XML is damaged"},
		"no size":    {"<svg>\n<rect width=\"9\" height=\"9\"/></svg>", "line 1: the drawing does not say its size"},
		"percent":    {`<svg width="100%" height="100%" viewBox="0 0 9 9"/>`, "line 1: the drawing does not say its size"},
		"viewBox":    {`<svg width="9mm" height="9mm" viewBox="0 0 9"/>`, `line 1: the viewBox "0 0 9" is not four numbers`},
		"no height":  {`<svg width="9mm" height="9mm" viewBox="0 0 9 0"/>`, "line 1: the drawing has no size"},
		"use":        {svgOf(`<use href="#a"/>`), `line 2: the use element refers to "#a", which the file doesn't hold`},
		"circular":   {svgOf(`<g id="a"><use href="#a"/></g>`), `line 2: the use element refers to "#a", which holds itself`},
		"encoding":   {`<?xml version="1.0" encoding="martian"?><svg/>`, `line 1: the encoding "martian" is not known`},
		"no drawing": {"%PDF-1.7", "line 1: the file is a PDF"},
		"path":       {svgOf("<g>\n<path d=\"M0 0L10\"/></g>"), `line 3: the path is damaged: the command "L" needs 2 numbers`},
		"no M":       {svgOf(`<path d="L10 10"/>`), `line 2: the path is damaged: it begins with "L", not with M`},
		"letter":     {svgOf(`<path d="M0 0B1 1"/>`), `line 2: the path is damaged: "B" is no command`},
		"behind Z":   {svgOf(`<path d="M0 0L9 0L0 9Z 5 5"/>`), `line 2: the path is damaged: "5 5" stands where`},
		"odd":        {svgOf(`<polygon points="0 0 9 0 9"/>`), "line 2: the polygon is damaged: it has an odd count"},
		"transform":  {svgOf(`<g transform="turn(4)"/>`), `line 2: the transform "turn(4)" is damaged`},
		"length":     {svgOf(`<circle r="2em"/>`), `line 2: r="2em" is no length`},
		"far":        {svgOf(`<circle r="1e300"/>`), "line 2: the circle reaches farther"},
		"open":       {svgOf(`<path d="M0 0L9 0L0 9"/>`), "line 2: the contour that starts here is open: it runs from 0, 0 mm to 0, 9 mm"},
		"crossed":    {svgOf("\n<path d=\"M0 0L10 10L10 0L0 11Z\"/>"), "line 3: the outline crosses itself, at 5.238, 5.238 mm"},
		"nothing":    {svgOf(`<text>x</text>`), "the drawing has no closed contour"},
		"too nested": {svgOf(strings.Repeat("<g>", 300)), "line 2: elements lie more than 200 deep"},
	} {
		_, err := ReadSVG(strings.NewReader(c.text), Options{})
		if err == nil || !strings.HasPrefix(err.Error(), c.want) || say.Hint(err) == "" {
			t.Errorf("%s: %v, want %s", name, err, c.want)
		}
	}
}

// TestADoubleContourIsOne: drawn again from another start, the other way round,
// of other lines, or a hundredth of a millimetre off. A hole is none.
func TestADoubleContourIsOne(t *testing.T) {
	const first = `<path d="M0 0 H40 V30 H0 Z"/>`
	for _, again := range []string{
		`<path d="M0 0 H40 V30 H0 Z"/>`, `<path d="M40 30 H0 V0 H40 Z"/>`, `<path d="M0 0 V30 H40 V0 Z"/>`,
		`<rect width="40" height="30"/>`, `<path d="M0 0 L20 0 L40 0 L40 30 L0 30 Z"/>`, `<path d="M0.004 0 H40 V30.004 H0.004 Z"/>`,
		`<path d="M0 0 C10 0 30 0 40 0 L40 30 L0 30 Z"/>`,
	} {
		d := readSVG(t, `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">`+first+again+`</svg>`, Options{})
		if n := len(d.Outline.Contours()); n != 1 || d.Outline.Area() != 1200 {
			t.Errorf("%s: %d contours of %g mm2", again, n, d.Outline.Area())
		}
		if len(d.Skipped) != 1 || d.Left() != "1 contour drawn twice" {
			t.Errorf("%s: skipped %v", again, d.Skipped)
		}
	}
	d := readSVG(t, `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">`+first+`<path d="M10 10 H30 V20 H10 Z"/></svg>`, Options{})
	if n := len(d.Outline.Contours()); n != 2 || d.Outline.Area() != 1000 {
		t.Errorf("a window: %d contours of %g mm2", n, d.Outline.Area())
	}
}
