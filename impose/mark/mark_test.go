package mark_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/mark"
	"quoin/impose/say"
)

var process = []ink.Ink{cyan, magenta, yellow, black}

func codes(list []say.Note) string {
	var out []string
	for _, w := range list {
		out = append(out, w.Code)
	}
	return strings.Join(out, " ")
}

// strokesIn lists the paints of all strokes and fills whose ink lies in a box.
func paintsIn(m *mark.Marks, box geometry.Box) (list []string) {
	for _, item := range m.Items {
		if !box.Contains(printed(item)) {
			continue
		}
		switch item := item.(type) {
		case draw.Fill:
			list = append(list, "fill "+item.Paint.String())
		case draw.Stroke:
			list = append(list, "stroke "+item.Paint.String())
		}
	}
	return list
}

func TestRegisterMarksNameTheirInks(t *testing.T) {
	o := mark.Selection{Clearance: 500 * um, Register: &mark.Register{Size: 5 * mm, Line: 100 * um}}
	corner := geometry.Box{Max: geometry.Position{Across: 13 * mm, Around: 8 * mm}}
	for _, c := range []struct {
		inks []ink.Ink
		want []string
	}{
		{process, []string{"stroke Cyan+Magenta+Yellow+Black"}},
		{[]ink.Ink{cyan, orange, varnish}, []string{"stroke Cyan+Sunset Orange", "stroke Sunset Orange", "fill Gloss overprint"}},
		{[]ink.Ink{white, magenta, black}, []string{"stroke Magenta+Black", "fill Black", "stroke White"}},
	} {
		m := lay(t, small(t), c.inks, o)
		if got := paintsIn(m, corner); !slices.Equal(got, c.want) {
			t.Errorf("register mark of %v: %q, want %q", c.inks, got, c.want)
		}
		if want := 4 * len(c.want); len(m.Items) != want {
			t.Errorf("%d items, want %d: a mark in both margins at both ends", len(m.Items), want)
		}
	}
}

func TestTechnicalInksAreLeftAlone(t *testing.T) {
	die := ink.Ink{Name: "Die line", Kind: ink.Technical, CMYK: [4]float64{0, 1, 0, 0}}
	m := lay(t, small(t), []ink.Ink{die, black}, mark.Default())
	if got := text(m); strings.Contains(got, "Die line") {
		t.Errorf("the die line is printed:\n%s", got)
	}
}

func TestWhiteIsMeasuredOverBlackWhereItCovers(t *testing.T) {
	for _, c := range []struct {
		inks []ink.Ink
		want string
	}{
		{[]ink.Ink{black, white}, "Black+White 50 %"},
		{[]ink.Ink{white, black}, "White 50 %"},
		{[]ink.Ink{cyan, white}, "White 50 %"},
	} {
		m := lay(t, small(t), c.inks, mark.Default())
		var got string
		for _, p := range m.Patches {
			if p.Ink == "White" && p.What == mark.Tint && strings.Contains(p.Name, "50") {
				got = draw.Paint{Tints: p.Tints}.String()
				break
			}
		}
		if got != c.want {
			t.Errorf("white's half tint with %v is printed as %q, want %q", c.inks, got, c.want)
		}
	}
}

func TestVarnishHasASolidOnly(t *testing.T) {
	m := lay(t, small(t), []ink.Ink{black, varnish}, mark.Default())
	for _, p := range m.Patches {
		if p.Ink == "Gloss" && p.What != mark.Full {
			t.Errorf("varnish has the patch %s", p.Name)
		}
	}
}

func TestMostImportantPatchesAreKept(t *testing.T) {
	l := plan(t, geometry.Request{
		Web:    geometry.Web{Width: 100 * mm, Edge: 5 * mm, TargetLane: 8 * mm},
		Label:  geometry.Size{Across: 50 * mm, Around: 48 * mm},
		Gap:    geometry.Size{Around: 2 * mm},
		Repeat: geometry.Repeat{Max: 50 * mm},
	})
	o := mark.Default()
	o.Slug, o.Centre = nil, false
	m := lay(t, l, process, o)
	// Between the register marks, 0.5 mm off the frame's ends, and 3.5 mm of
	// paper each are 50 - 2(0.5 + 5 + 3.5) = 32 mm: six patches in each margin.
	if len(m.Patches) != 12 {
		t.Fatalf("%d patches, want 12", len(m.Patches))
	}
	var got []string
	for _, p := range m.Patches[:9] {
		got = append(got, p.Name)
	}
	if want := "Cyan, Magenta, Yellow, Black, paper, Cyan 50 %, Magenta 50 %, Yellow 50 %, Black 50 %"; strings.Join(got, ", ") != want {
		t.Errorf("kept %q, want %q", got, want)
	}
	if codes(m.Warnings) != mark.CodeTargets || !strings.Contains(m.Warnings[0].Text, "11 patches: red, green, blue, Cyan 25 %") {
		t.Errorf("left out: %v", m.Warnings)
	}
}

func TestNoTargetLaneIsANote(t *testing.T) {
	r := geometry.Request{
		Web:    geometry.Web{Width: 340 * mm, Edge: 10 * mm},
		Label:  geometry.Size{Across: 50 * mm, Around: 75 * mm},
		Gap:    geometry.Size{Across: 3 * mm, Around: 3175 * um},
		Bleed:  1 * mm,
		Repeat: geometry.Repeat{Max: 980 * mm},
	}
	m := lay(t, plan(t, r), process, mark.Default())
	if len(m.Patches) > 0 || len(m.Warnings) > 0 || !strings.Contains(codes(m.Notes), mark.CodeNoLane) {
		t.Errorf("%d patches, warnings %v, notes %v", len(m.Patches), m.Warnings, m.Notes)
	}
	// Six lanes have five gaps; the middle one is the centre tick's. Their numbers
	// stand on paper of their own.
	if len(m.Items) != 5+2*6 {
		t.Errorf("%d items, want 5 ticks and 6 numbers:\n%s", len(m.Items), draw.Notation(m.Items))
	}
}

// TestTicksFindRoom: beside the bleed while there is room, then in the matrix on
// bare paper, 0.5 mm off the trims; all lost is a warning. The last but one is
// the layout that a job which says nothing has: gaps of 1/8 inch, bleed of 1/16.
func TestTicksFindRoom(t *testing.T) {
	eighth := geometry.Inch / 8
	for _, c := range []struct {
		gap, bleed geometry.Length
		items      string
		laid       int
		codes      string
	}{
		{3 * mm, 1350 * um, "stroke Black", 2, ""}, // 0.3 mm between the bleeds: the line of 0.1 mm and 0.1 mm on each side
		{3 * mm, 1351 * um, "fill Black 0 % stroke Black", 2, ""},
		{eighth, eighth / 2, "fill Black 0 % stroke Black", 2, ""},
		{1700 * um, 850 * um, "fill Black 0 % stroke Black", 2, ""}, // 0.5 + 0.3 + 0.1 + 0.3 + 0.5 mm
		{1699 * um, 850 * um, "", 0, mark.CodeSlit},
	} {
		l := plan(t, geometry.Request{
			Web: geometry.Web{Width: 200 * mm}, Label: geometry.Size{Across: 50 * mm, Around: 75 * mm},
			Gap: geometry.Size{Across: c.gap, Around: c.gap}, Bleed: c.bleed, Repeat: geometry.Repeat{Max: 500 * mm},
		})
		m := lay(t, l, process, mark.Selection{Slit: mark.Default().Slit})
		frame := geometry.Box{Max: geometry.Position{Across: l.Web.Width / 2, Around: l.Repeat}}
		if got := strings.Join(paintsIn(m, frame), " "); got != c.items || m.Laid.Slits != c.laid || m.Laid.SlitLines != 2 || codes(m.Warnings) != c.codes {
			t.Errorf("gap %s, bleed %s: %q, laid %+v, warnings %v", c.gap, c.bleed, got, m.Laid, m.Warnings)
		}
	}
}

// TestCentreTickFindsRoom: with an odd number of lanes a label stands on the
// web's centre, and half a gap before it is all there is. A gap of 3 mm leaves
// 1 mm, the least that is seen.
func TestCentreTickFindsRoom(t *testing.T) {
	for _, c := range []struct {
		gap   geometry.Length
		laid  bool
		codes string
	}{{3 * mm, true, ""}, {2990 * um, false, mark.CodeCentre}} {
		m := lay(t, plan(t, geometry.Request{
			Web: geometry.Web{Width: 200 * mm}, Label: geometry.Size{Across: 50 * mm, Around: 75 * mm},
			Gap: geometry.Size{Across: c.gap, Around: c.gap}, Bleed: 1500 * um, Repeat: geometry.Repeat{Max: 500 * mm}, Lanes: 3,
		}), process, mark.Selection{Centre: true})
		if m.Laid.Centre != c.laid || codes(m.Warnings) != c.codes || (len(m.Items) > 0) != c.laid {
			t.Errorf("gap %s: %+v, %v", c.gap, m.Laid, m.Warnings)
		}
	}
}

// TestVarnishHasARegisterMark: a solid of varnish in a frame of dark lines, one
// for each, that takes no ink away.
func TestVarnishHasARegisterMark(t *testing.T) {
	matt := ink.Ink{Name: "Matt", Kind: ink.Varnish}
	o := mark.Selection{Register: &mark.Register{Size: 5 * mm, Line: 100 * um}}
	m := lay(t, small(t), []ink.Ink{magenta, black, varnish, matt}, o)
	for _, name := range []string{"Gloss", "Matt"} {
		found := 0
		for _, item := range m.Items {
			if f, ok := item.(draw.Fill); ok && f.Paint.String() == name+" overprint" {
				found++
				if side := f.Path.Bounds().Size(); side.Across < 500*um || side.Across != side.Around {
					t.Errorf("the mark of %s is %s", name, side)
				}
			}
		}
		if found != 4 {
			t.Errorf("%d register marks of %s, want 4", found, name)
		}
	}
}

func TestEyeMark(t *testing.T) {
	offset := func(l geometry.Length) *geometry.Length { return &l }
	for _, c := range []struct {
		name  string
		eye   mark.Eye
		marks int
		warn  string
	}{
		{"once", mark.Eye{}, 1, ""},
		{"per row", mark.Eye{PerRow: true}, 3, ""},
		{"light ink", mark.Eye{Ink: ink.Yellow}, 1, mark.CodeEyeContrast},
		{"in the label's way", mark.Eye{Offset: offset(30 * mm)}, 0, mark.CodeEyeTrack + " " + mark.CodeEyeRoom},
		{"track wider than the margin", mark.Eye{Track: 40 * mm}, 0, mark.CodeEyeRoom},
		{"beside a label, its track over the bleed", mark.Eye{Offset: offset(12 * mm), Track: 10 * mm}, 1, mark.CodeEyeTrack},
	} {
		e := c.eye
		e.Size, e.Side = geometry.Size{Across: 3 * mm, Around: 7 * mm}, mark.Left
		if e.Track == 0 {
			e.Track = 5 * mm
		}
		m := lay(t, small(t), process, mark.Selection{Eye: &e})
		if len(m.Items) != c.marks || codes(m.Warnings) != c.warn {
			t.Errorf("%s: %d marks, want %d; warnings %v", c.name, len(m.Items), c.marks, m.Warnings)
		}
	}
}

func TestEyeMarkIsLevelWithItsRow(t *testing.T) {
	e := usualEye()
	e.PerRow = true
	l := small(t)
	for i, item := range lay(t, l, process, mark.Selection{Eye: e}).Items {
		row := l.Station[i*l.Across]
		if got := printed(item).Min.Around; got != row.Trim.Min.Around {
			t.Errorf("eye mark of row %d starts at %s, the label at %s", row.Row, got, row.Trim.Min.Around)
		}
	}
}

// A target lane as wide as Lane says takes everything, with the block hard
// against it.
func TestLaneIsEnough(t *testing.T) {
	o := mark.Default()
	o.Slug = &mark.Slug{Job: "4711"}
	o.Eye, o.Centre = usualEye(), false
	lane := o.Lane()
	for _, c := range []struct {
		lane geometry.Length
		warn bool
	}{{lane, false}, {lane - 100*um, true}} {
		l := plan(t, geometry.Request{
			Web: geometry.Web{Width: 100*mm + 2*c.lane, TargetLane: c.lane}, Label: geometry.Size{Across: 100 * mm, Around: 100 * mm},
			Gap: geometry.Size{Around: 2 * mm}, Repeat: geometry.Repeat{Max: 600 * mm},
		})
		if m := lay(t, l, process, o); (len(m.Warnings) > 0) != c.warn {
			t.Errorf("target lane of %s: warnings %v", c.lane, m.Warnings)
		}
	}
}

func TestSlugNamesLightInksOnAPlate(t *testing.T) {
	o := mark.Selection{Clearance: 500 * um, Slug: &mark.Slug{Job: "4711"}}
	m := lay(t, small(t), []ink.Ink{black, yellow, varnish}, o)
	var got []string
	for _, item := range m.Items {
		got = append(got, item.(draw.Fill).Paint.String())
	}
	// Job; "Inks"; black; the plate and yellow; varnish over its name.
	want := []string{"Black", "Black", "Black", "Black", "Yellow", "Black+Gloss"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestSlugReportsWhatItCannotShow(t *testing.T) {
	o := mark.Selection{Clearance: 500 * um, Slug: &mark.Slug{Job: "茶 4711"}}
	m := lay(t, small(t), process, o)
	if codes(m.Warnings) != mark.CodeGlyph || !strings.Contains(m.Warnings[0].Text, "U+8336") {
		t.Errorf("warnings %v", m.Warnings)
	}
	o.Slug = &mark.Slug{Job: "4711", Lanes: []string{strings.Repeat("Lemon ", 20), strings.Repeat("Lime ", 20)}}
	if m := lay(t, small(t), process, o); codes(m.Warnings) != mark.CodeSlug || len(m.Items) == 0 {
		t.Errorf("%d items, warnings %v", len(m.Items), m.Warnings)
	}
}

func TestOptionsThatMakeNoSense(t *testing.T) {
	for name, spoil := range map[string]func(*mark.Selection){
		"clearance":   func(o *mark.Selection) { o.Clearance = -1 },
		"register":    func(o *mark.Selection) { o.Register.Size = 0 },
		"eye ink":     func(o *mark.Selection) { o.Eye.Ink = "Gold" },
		"eye track":   func(o *mark.Selection) { o.Eye.Track = 1 },
		"eye side":    func(o *mark.Selection) { o.Eye.Side = mark.Both },
		"slit":        func(o *mark.Selection) { o.Slit.Line = 0 },
		"trim":        func(o *mark.Selection) { o.Trim.Length = -1 },
		"patch":       func(o *mark.Selection) { o.Targets.Patch.Around = 0 },
		"tint":        func(o *mark.Selection) { o.Targets.Tints = []float64{50} },
		"target side": func(o *mark.Selection) { o.Targets.Side = "middle" },
	} {
		o := mark.Default()
		o.Eye, o.Trim = usualEye(), mark.DefaultTrim()
		spoil(&o)
		_, err := mark.Lay(small(t), process, o)
		if err == nil || say.Hint(err) == "" {
			t.Errorf("%s: got %v", name, err)
		}
	}
}

func TestPatchAsJSON(t *testing.T) {
	m := lay(t, small(t), []ink.Ink{black, white}, mark.Default())
	got, err := json.Marshal(m.Patches[1])
	if err != nil {
		t.Fatal(err)
	}
	const want = `{"number":2,"set":1,"side":"left","what":"solid","name":"White over Black","ink":"White",` +
		`"tints":[{"ink":"Black","percent":100},{"ink":"White","percent":100}],` +
		`"across_mm":6.5,"around_mm":14,"size_across_mm":5,"size_around_mm":5}`
	if string(got) != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// Numbers stand before the first row where the bleed leaves room, else behind
// it, else over bleed on paper of their own; all of them or none.
func TestLaneNumbersAreAllOrNone(t *testing.T) {
	for _, c := range []struct {
		gap, bleed geometry.Length
		rows       int
		items      int
		from, to   geometry.Length // around, in which all stand
	}{
		{5360 * um, 0, 0, 12, 0, 2680 * um},                // 2.68 = 1.6 x 1.05 + 2 x 0.5 mm
		{4000 * um, 0, 0, 12, 22 * mm, 26 * mm},            // 2 mm before the first row are too few
		{4000 * um, 1 * mm, 0, 24, 22500 * um, 25500 * um}, // half a mm from the trims
		{3175 * um, 1500 * um, 0, 24, 22087 * um, 24263 * um},
		{2930 * um, 1 * mm, 0, 24, 21965 * um, 23895 * um}, // 2.9225 = 1.45 x 1.05 + 2 x (0.5 + 0.2) mm
		{2915 * um, 1 * mm, 0, 0, 0, 0},
		{6000 * um, 3 * mm, 1, 24, 500 * um, 2500 * um}, // one row has no row behind it
		{5000 * um, 2500 * um, 1, 0, 0, 0},              // nor is there room between the lanes
	} {
		l := plan(t, geometry.Request{
			Web: geometry.Web{Width: 300 * mm}, Label: geometry.Size{Across: 20 * mm, Around: 20 * mm}, Bleed: c.bleed,
			Gap: geometry.Size{Across: 2900 * um, Around: c.gap}, Repeat: geometry.Repeat{Max: 200 * mm}, Lanes: 12, Rows: c.rows,
		})
		m := lay(t, l, process, mark.Selection{Clearance: 500 * um, LaneNumbers: true})
		if len(m.Items) != c.items || (c.items == 0) != (codes(m.Warnings) == mark.CodeLaneNumbers) || m.Laid.Numbers != (c.items > 0) || len(m.Matrix) != c.items/24*24 {
			t.Errorf("gap of %s: %d items, %d on bleed, warnings %v", c.gap, len(m.Items), len(m.Matrix), m.Warnings)
		}
		for i, item := range m.Items {
			box := item.(draw.Fill).Path.Bounds()
			lane := l.Station[0].Trim.Min.Across
			for _, s := range l.Station {
				if number := i*12/len(m.Items) + 1; s.Lane == number {
					lane = s.Trim.Min.Across
				}
			}
			if box.Min.Around < c.from || box.Max.Around > c.to || box.Min.Across < lane || box.Max.Across > lane+20*mm {
				t.Errorf("gap of %s: a number or its paper stands at %v to %v, want between %s and %s, across from %s", c.gap, box.Min, box.Max, c.from, c.to, lane)
			}
		}
	}
}

// A frame of one row has half of a gap at each of its ends; the gaps between lanes
// are whole. Each number stands beside its lane, and its triangle points there: the
// mark's outline is widest at the base, so its tip is on the lane's side.
func TestLaneNumbersStandBetweenLanes(t *testing.T) {
	for _, lanes := range []int{2, 5} {
		l := plan(t, geometry.Request{
			Web: geometry.Web{Width: 300 * mm}, Label: geometry.Size{Across: 20 * mm, Around: 20 * mm}, Bleed: 1500 * um,
			Gap: geometry.Size{Across: 3175 * um, Around: 3175 * um}, Repeat: geometry.Repeat{Max: 200 * mm}, Lanes: lanes, Rows: 1,
		})
		o := mark.Selection{Clearance: 500 * um, LaneNumbers: true, Slit: mark.Default().Slit}
		m := lay(t, l, process, o)
		if !m.Laid.Numbers || !m.Laid.NumbersBeside || len(m.Warnings) > 0 {
			t.Fatalf("%d lanes: %+v, %v", lanes, m.Laid, m.Warnings)
		}
		var numbers []draw.Path
		for _, item := range m.Items {
			f, ok := item.(draw.Fill)
			if !ok {
				continue
			}
			box := f.Path.Bounds()
			for _, s := range l.Station {
				if box.Overlaps(s.Trim.Outset(500 * um)) {
					t.Errorf("%d lanes: a number or its paper at %v is less than half a millimetre off the label of lane %d", lanes, box, s.Lane)
				}
			}
			if len(f.Path.Verbs) > 5 {
				numbers = append(numbers, f.Path)
			}
		}
		if len(numbers) != lanes {
			t.Fatalf("%d numbers for %d lanes", len(numbers), lanes)
		}
		for i, path := range numbers {
			tip, base := path.Points[len(path.Points)-3], path.Points[len(path.Points)-1]
			trim := l.Station[i].Trim
			for _, s := range l.Station {
				if s.Lane == i+1 {
					trim = s.Trim
				}
			}
			toLeft := tip.Across < base.Across
			near := tip.Across - trim.Max.Across
			if !toLeft {
				near = trim.Min.Across - tip.Across
			}
			if near < 500*um || near > 2*mm {
				t.Errorf("%d lanes: number %d points from %s at the lane that ends %s from it", lanes, i+1, tip.Across, near)
			}
		}
	}
}

// A trim mark in the way moves a number along its lane.
func TestLaneNumbersMakeWay(t *testing.T) {
	l := plan(t, geometry.Request{
		Web: geometry.Web{Width: 200 * mm, Edge: 5 * mm}, Label: geometry.Size{Across: 40 * mm, Around: 30 * mm},
		Gap: geometry.Size{Across: 3 * mm, Around: 4 * mm}, Bleed: 1 * mm, Repeat: geometry.Repeat{Max: 200 * mm}, Lanes: 3,
	})
	o := mark.Selection{Clearance: 500 * um, LaneNumbers: true, Trim: mark.DefaultTrim()}
	m := lay(t, l, process, o)
	if !m.Laid.Numbers || len(m.Warnings) > 0 {
		t.Errorf("no numbers beside trim marks: %v", m.Warnings)
	}
	crossed := 0
	for _, item := range m.Items {
		tick, ok := item.(draw.Stroke)
		if !ok {
			continue
		}
		crossed++
		for _, other := range m.Items {
			if fill, ok := other.(draw.Fill); ok && fill.Path.Bounds().Overlaps(tick.Path.Bounds().Outset(tick.Width/2)) {
				t.Errorf("a tick at %v crosses a number at %v", tick.Path.Bounds(), fill.Path.Bounds())
			}
		}
	}
	if crossed == 0 {
		t.Error("there are no trim marks to make way for")
	}
}

func BenchmarkLay(b *testing.B) {
	l := plan(b, geometry.Request{
		Web: geometry.Web{Width: 340 * mm, Edge: 10 * mm, TargetLane: 8 * mm}, Label: geometry.Size{Across: 10 * mm, Around: 8 * mm},
		Gap: geometry.Size{Across: 3 * mm, Around: 3 * mm}, Bleed: 1 * mm, Repeat: geometry.Repeat{Max: 1000 * mm},
	})
	o := mark.Default()
	o.Slug, o.Eye, o.Trim = &mark.Slug{Job: "4711"}, usualEye(), mark.DefaultTrim()
	o.Trim.Offset = 1 * mm
	for b.Loop() {
		lay(b, l, []ink.Ink{white, cyan, magenta, yellow, black, orange}, o)
	}
	b.ReportMetric(float64(l.Labels()), "labels")
}

// usualEye is a mark of 3 x 7 mm, as a published tube label drawing has it
// (1OZ_WHITE_TUBES.pdf on cdn.shopify.com); the track is common practice.
func usualEye() *mark.Eye {
	return &mark.Eye{Size: geometry.Size{Across: 3 * mm, Around: 7 * mm}, Side: mark.Right, Track: 5 * mm}
}
