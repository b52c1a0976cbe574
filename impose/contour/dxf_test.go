package contour

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/say"
)

// entities wraps what is drawn into a DXF of release R12.
func entities(text string) string {
	return "0\nSECTION\n2\nENTITIES\n" + tags(text) + "0\nENDSEC\n0\nEOF\n"
}

// tags turns "0 LINE 8 CUT 10 1.5" into lines.
func tags(text string) string {
	return strings.Join(strings.Fields(text), "\n") + "\n"
}

func readDXF(t testing.TB, text string, o Options) *Drawing {
	t.Helper()
	d, err := ReadDXF(strings.NewReader(text), o)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

var inMM = Options{Unit: mm}

// TestLooseSegments joins the eight pieces of a rounded rectangle, drawn in
// disorder, in both senses and a little apart.
func TestLooseSegments(t *testing.T) {
	text := entities(`
		0 LINE 8 CUT 10 3 20 0 11 47 21 0
		0 ARC 8 CUT 10 47 20 72 40 3 50 0 51 90
		0 LINE 8 CUT 10 50 20 72.004 11 50 21 3
		0 TEXT 8 CUT 1 HELLO
		0 LINE 8 CUT 10 3 20 75 11 46.997 21 75
		0 ARC 8 CUT 10 3 20 72 40 3 50 90 51 180
		0 LINE 8 CUT 10 0 20 3 11 0 21 72
		0 ARC 8 CUT 10 3 20 3 40 3 50 180 51 270
		0 ARC 8 CUT 10 47 20 3 40 3 50 -90 51 0
		0 LINE 8 CUT 10 47 20 0 11 3 21 0
		0 TEXT 8 CUT 1 AGAIN`)
	d := readDXF(t, text, inMM)
	want := need(t)(outline.Rectangle(geometry.Size{Across: 50 * mm, Around: 75 * mm}, 3*mm))
	alike(t, "joined", d.Outline, want, 5*geometry.Micrometre)
	if got := fmt.Sprint(d.Layers, d.Skipped); got != "[CUT] [2 TEXT 1 line drawn twice]" {
		t.Errorf("layers and skipped: %s", got)
	}
	// A finer joining distance refuses the gap of 4 um.
	_, err := ReadDXF(strings.NewReader(text), Options{Unit: mm, Join: geometry.Micrometre})
	if err == nil || !strings.HasPrefix(err.Error(), "line ") || !strings.Contains(err.Error(), "open") {
		t.Errorf("a gap beyond the joining distance: %v", err)
	}
}

// TestBulge: TV-F2, the bulge is tan(angle/4): 0.414214 for 90 degrees, 1 for
// 180 (DXF reference, from memory; elementary geometry).
func TestBulge(t *testing.T) {
	// A rounded rectangle = 4 lines and 4 bulges of 0.414214.
	light := `0 LWPOLYLINE 8 CUT 90 8 70 1 10 3 20 0 10 47 20 0 42 0.414214 10 50 20 3 10 50 20 72 42 0.414214
		10 47 20 75 10 3 20 75 42 0.414214 10 0 20 72 10 0 20 3 42 0.414214`
	want := need(t)(outline.Rectangle(geometry.Size{Across: 50 * mm, Around: 75 * mm}, 3*mm))
	alike(t, "LWPOLYLINE", readDXF(t, entities(light), inMM).Outline, want, 10)
	old := "0 POLYLINE 8 CUT 66 1 70 1 10 0 20 0 "
	for _, v := range []string{"10 3 20 0", "10 47 20 0 42 0.414214", "10 50 20 3", "10 50 20 72 42 0.414214", "10 47 20 75", "10 3 20 75 42 0.414214", "10 0 20 72", "10 0 20 3 42 0.414214"} {
		old += "0 VERTEX 8 CUT " + v + " "
	}
	alike(t, "POLYLINE", readDXF(t, entities(old+"0 SEQEND"), inMM).Outline, want, 10)
	// Two half circles.
	circle := readDXF(t, entities("0 LWPOLYLINE 8 CUT 70 1 10 0 20 0 42 1 10 40 20 0 42 1"), inMM).Outline
	alike(t, "half circles", circle, need(t)(outline.Circle(40*mm)), 1)
	// And our own writer says the same.
	var b bytes.Buffer
	if err := WriteDXF(&b, Sheet{want.Bounds().Size(), []Layer{{Cut, []outline.Outline{want}}}}); err != nil {
		t.Fatal(err)
	}
	if got := strings.Count(b.String(), "42\n-0.414213562373\n") + strings.Count(b.String(), "42\n0.414213562373\n"); got != 4 {
		t.Errorf("%d bulges of 0.414214 in\n%s", got, b.String())
	}
	if got := strings.Count(b.String(), "\nVERTEX\n"); got != 8 {
		t.Errorf("%d corners, want 8", got)
	}
}

// TestSeen: a drawing is not mirrored. An L has its foot at the lower right in
// both.
func TestSeen(t *testing.T) {
	d := readDXF(t, entities("0 LWPOLYLINE 8 CUT 70 1 10 0 20 0 10 30 20 0 10 30 20 10 10 10 20 10 10 10 20 30 10 0 20 30"), inMM)
	for _, c := range []struct {
		x, y float64
		in   bool
	}{{25, 25, true}, {5, 5, true}, {25, 5, false}} { // y downwards
		if got := holds(t, d.Outline, at(c.x, c.y)); got != c.in {
			t.Errorf("%g, %g is inside: %v", c.x, c.y, got)
		}
	}
	// Drawn on the back of the plane, x runs the other way: a half disc that
	// bulges to the left there bulges to the right.
	back := readDXF(t, entities("0 ARC 8 CUT 10 0 20 0 40 10 50 90 51 180 230 -1 0 LINE 8 CUT 10 0 20 10 11 0 21 0 0 LINE 8 CUT 10 0 20 0 11 10 21 0"), inMM)
	near(t, "quarter disc", back.Outline.Area(), 25*math.Pi, 1e-4)
	if !holds(t, back.Outline, at(2, 8)) || holds(t, back.Outline, at(9, 1)) {
		t.Error("an arc on the back of the plane is not mirrored")
	}
}

func TestCurvesOfDXF(t *testing.T) {
	ellipse := readDXF(t, entities("0 ELLIPSE 8 CUT 10 100 20 50 11 0 21 30 40 0.5 41 0 42 6.283185307179586"), inMM)
	near(t, "ellipse", ellipse.Outline.Area(), 450*math.Pi, 1e-3)
	if got := ellipse.Outline.Bounds().Size(); got != (geometry.Size{Across: 30 * mm, Around: 60 * mm}) {
		t.Errorf("the ellipse is %v", got)
	}
	// Half of it, closed by a line: the half towards smaller x, by the right hand.
	half := readDXF(t, entities(`0 ELLIPSE 8 CUT 10 100 20 50 11 0 21 30 40 0.5 41 0 42 3.141592653589793
		0 LINE 8 CUT 10 100 20 20 11 100 21 80`), inMM)
	near(t, "half ellipse", half.Outline.Area(), 225*math.Pi, 1e-3)
	if !holds(t, half.Outline, at(1, 30)) {
		t.Error("the half ellipse bulges to the wrong side")
	}
	// A parabola as splines of degree 2 and 3 over the same course: y = x(100-x)/50
	// above a chord of 100 mm, area 100*100^2/(6*50).
	area := 100.0 * 100 * 100 / 300
	for name, spline := range map[string]string{
		"degree 2": "0 SPLINE 8 CUT 70 8 71 2 72 6 73 3 40 0 40 0 40 0 40 1 40 1 40 1 10 0 20 0 10 50 20 100 10 100 20 0",
		// The same, cut by a knot in the middle.
		"two stretches": "0 SPLINE 8 CUT 71 2 40 0 40 0 40 0 40 0.5 40 1 40 1 40 1 10 0 20 0 10 25 20 50 10 75 20 50 10 100 20 0",
		"degree 3":      "0 SPLINE 8 CUT 71 3 40 0 40 0 40 0 40 0 40 2 40 2 40 2 40 2 10 0 20 0 10 33.333333333 20 66.666666667 10 66.666666667 20 66.666666667 10 100 20 0",
	} {
		d := readDXF(t, entities(spline+" 0 LINE 8 CUT 10 0 20 0 11 100 21 0"), inMM)
		near(t, name, d.Outline.Area(), area, 1e-3)
		near(t, name+", height", d.Outline.Bounds().Size().Around.MM(), 50, 1e-5)
	}
	// Degree 1 is a polyline.
	d := readDXF(t, entities("0 SPLINE 8 CUT 71 1 40 0 40 0 40 1 40 2 40 2 10 0 20 0 10 40 20 0 10 0 20 30 0 LINE 8 CUT 10 0 20 0 11 0 21 30"), inMM)
	near(t, "degree 1", d.Outline.Area(), 600, 1e-6)
}

func TestUnits(t *testing.T) {
	square := "0 LWPOLYLINE 8 CUT 70 1 10 0 20 0 10 2 20 0 10 2 20 1 10 0 20 1"
	header := func(code int) string {
		return "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n" + strconv.Itoa(code) + "\n0\nENDSEC\n" + entities(square)
	}
	for code, want := range map[int]geometry.Length{1: 2 * geometry.Inch, 4: 2 * mm, 5: 20 * mm} {
		if got := readDXF(t, header(code), Options{}).Outline.Bounds().Size().Across; got != want {
			t.Errorf("$INSUNITS %d: %v wide, want %v", code, got, want)
		}
	}
	if got := readDXF(t, header(1), inMM).Outline.Bounds().Size().Across; got != 2*mm {
		t.Errorf("the unit asked for does not win: %v", got)
	}
	for _, text := range []string{entities(square), header(0)} {
		_, err := ReadDXF(strings.NewReader(text), Options{})
		if err == nil || !strings.Contains(err.Error(), "does not say its unit") || say.Hint(err) == "" {
			t.Errorf("no unit: %v", err)
		}
	}
}

func TestLayers(t *testing.T) {
	text := entities("0 CIRCLE 8 CUT 10 0 20 0 40 20 0 CIRCLE 8 PERF 10 0 20 0 40 10 0 INSERT 8 NOTES 2 STAMP")
	d := readDXF(t, text, Options{Unit: mm, Only: "cut"})
	if len(d.Outline.Contours()) != 1 || fmt.Sprint(d.Layers) != "[CUT]" {
		t.Errorf("layer CUT: %d contours of %v", len(d.Outline.Contours()), d.Layers)
	}
	if _, err := ReadDXF(strings.NewReader(text), Options{Unit: mm, Only: "DIE"}); err == nil || err.Error() != `nothing named "DIE" holds a contour` {
		t.Errorf("an unknown layer: %v", err)
	}
}

// TestFaultsOfDXF: every refusal names the line of the file.
func TestFaultsOfDXF(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"empty":      {"", "the file is empty"},
		"no DXF":     {"Hello\n1\n", `line 1: "Hello" is no group code`},
		"a PDF":      {"%PDF-1.7\n1\n", "line 1: the file is a PDF"},
		"a DWG":      {"AC1015\x00\x00", "line 1: the file is a DWG"},
		"binary":     {"AutoCAD Binary DXF\r\n\x1a\x00\x00", "line 1: the file is a binary DXF"},
		"cut short":  {"0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nCUT\n10\n1\n20\n1\n11\n2\n21\n2\n", "line 16: the file ends without EOF"},
		"shifted":    {"0\nSECTION\n2\nENTITIES\nLINE\n0\n", `line 5: "LINE" is no group code`},
		"open":       {entities("0 LINE 8 CUT 10 0 20 0 11 30 21 0 0 LINE 8 CUT 10 30 20 0 11 30 21 20"), "line 6: the contour that starts here is open: it runs from 0, 0 mm to 30, 20 mm, and the ends are 36.056 mm apart"},
		"fork":       {entities("0 LINE 8 CUT 10 0 20 0 11 30 21 0 0 LINE 8 CUT 10 30 20 0 11 30 21 20 0 LINE 8 CUT 10 30 20 20 11 0 21 0 0 LINE 8 CUT 10 30 20 20 11 60 21 40"), "line 18: 3 lines end at 30, 20 mm, so the cut forks"},
		"block":      {entities("0 INSERT 8 CUT 2 LABEL 10 0 20 0"), `line 6: the block "LABEL" is inserted here, and the file doesn't hold it`},
		"number":     {entities("0 CIRCLE 8 CUT 10 0 20 zero 40 5"), `line 12: "zero" is no number, which code 20 of a CIRCLE needs`},
		"missing":    {entities("0 CIRCLE 8 CUT 10 0 20 0"), "line 6: the CIRCLE has no value of code 40"},
		"radius":     {entities("0 CIRCLE 8 CUT 10 0 20 0 40 -5"), "line 6: the CIRCLE has a radius of -5"},
		"far":        {entities("0 CIRCLE 8 CUT 10 0 20 1e9 40 5"), "line 6: the CIRCLE reaches to 5, 1e+09"},
		"tilted":     {entities("0 CIRCLE 8 CUT 10 0 20 0 40 5 210 1 230 0"), "line 6: the CIRCLE does not lie in the drawing's plane"},
		"weights":    {entities("0 SPLINE 8 CUT 71 1 40 0 40 0 40 1 40 1 41 1 41 -2 10 0 20 0 10 1 20 1"), "line 6: the SPLINE has the weight -2"},
		"knots":      {entities("0 SPLINE 8 CUT 71 3 40 0 40 1 10 0 20 0 10 1 20 1"), "line 6: the SPLINE of degree 3 has 2 control points and 2 knots"},
		"crossed":    {entities("0 LWPOLYLINE 8 CUT 70 1 10 0 20 0 10 10 20 10 10 10 20 0 10 0 20 11"), "line 6: the outline crosses itself, at 5.238, 5.238 mm"},
		"two cross":  {entities("0 CIRCLE 8 CUT 10 0 20 0 40 10 0 CIRCLE 8 CUT 10 15 20 0 40 10"), "the outline crosses itself, at 7.5"},
		"flat":       {entities("0 LWPOLYLINE 8 CUT 70 1 10 0 20 0 10 10 20 0"), "line 6: the contour encloses no area, at 0, 0 mm"},
		"bulge":      {entities("0 LWPOLYLINE 8 CUT 70 1 10 0 20 0 42 99999 10 10 20 0"), "line 6: the LWPOLYLINE has the bulge 99999"},
		"nothing":    {entities("0 TEXT 8 CUT 1 X"), "the drawing has no closed contour"},
		"long lines": {"0\n" + strings.Repeat("x", 2<<20), "line 2: the line is longer than a megabyte"},
	} {
		_, err := ReadDXF(strings.NewReader(c.text), inMM)
		if err == nil || !strings.HasPrefix(err.Error(), c.want) || say.Hint(err) == "" {
			t.Errorf("%s: %v, want %s", name, err, c.want)
		}
	}
}

// TestSeveral: a die of six stations falls into its labels, from the leading
// end on.
func TestSeveral(t *testing.T) {
	label := shapes(t)["ring"]
	var outlines []outline.Outline
	for row := range 3 {
		for lane := range 2 {
			outlines = append(outlines, label.Moved(geometry.Size{Across: geometry.Length(lane) * 43 * mm, Around: geometry.Length(row) * 43 * mm}))
		}
	}
	var b bytes.Buffer
	if err := WriteDXF(&b, Sheet{geometry.Size{Across: 83 * mm, Around: 126 * mm}, []Layer{{Cut, outlines}}}); err != nil {
		t.Fatal(err)
	}
	parts := readDXF(t, b.String(), Options{}).Outline.Parts()
	if len(parts) != 6 {
		t.Fatalf("%d parts, want 6", len(parts))
	}
	for i, p := range parts {
		alike(t, "station", p, outlines[i], 1)
	}
}

func TestLayerNames(t *testing.T) {
	for _, name := range []string{"", "CUT LINE", strings.Repeat("X", 32), "é"} {
		if err := WriteDXF(&bytes.Buffer{}, Sheet{Layers: []Layer{{Name: name}}}); err == nil {
			t.Errorf("a layer named %q is written", name)
		}
	}
}

// holds reports whether a place lies inside an outline: a dot there overlaps it.
func holds(t *testing.T, o outline.Outline, p geometry.Position) bool {
	t.Helper()
	dot, err := outline.Circle(100 * geometry.Micrometre)
	if err != nil {
		t.Fatal(err)
	}
	return outline.NewGauge(o).Separation(outline.NewGauge(dot), geometry.Size(p), math.Inf(1)) < 0
}
