package geometry

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func mustPlan(t tester, r Request) *Layout {
	t.Helper()
	l, err := Plan(r)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func mustSize(t tester, text string) Size {
	t.Helper()
	s, err := ParseSize(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// worked is the request of the worked job in run_test.go.
func worked(t tester) Request {
	return Request{
		Web:    Web{Width: mustLength(t, "340mm"), Edge: mustLength(t, "10mm")},
		Label:  mustSize(t, "50x75mm"),
		Gap:    mustSize(t, "3x3.175mm"),
		Repeat: Repeat{Max: mustLength(t, "980mm")},
	}
}

func refusal(t tester, r Request) *NotFitError {
	t.Helper()
	l, err := Plan(r)
	var e *NotFitError
	if !errors.As(err, &e) || l != nil {
		t.Fatalf("got %v, %v; want a NotFitError", l, err)
	}
	return e
}

func TestPlanRefuses(t *testing.T) {
	for _, c := range []struct {
		name     string
		change   func(*Request)
		code     string
		text     string
		nearest  string
		nearests func(*Request) // what the nearest promises; must then fit
	}{
		{"too wide", func(r *Request) { r.Label.Across = mustLength(t, "321mm"); r.Turns = []Turn{Turn0} },
			"too-wide", "one lane with 0 mm bleed on both sides needs 321 mm across, the band gives 320 mm",
			"turned to 90 degrees it fits 4 across and 3 around; a label of up to 320 mm across would fit; a web of 341 mm would take it",
			func(r *Request) { r.Turns = []Turn{Turn90} }},
		{"too wide with bleed", func(r *Request) { r.Label.Across = mustLength(t, "318mm"); r.Bleed = mustLength(t, "1.5mm") },
			"too-wide", "one lane with 1.5 mm bleed on both sides needs 321 mm across, the band gives 320 mm",
			"turned to 90 degrees it fits 4 across and 3 around; a label of up to 317 mm across would fit; a web of 341 mm would take it",
			func(r *Request) { r.Label.Across = mustLength(t, "317mm") }},
		{"wanted lanes", func(r *Request) { r.Lanes = 7 },
			"too-wide", "7 lanes with 0 mm bleed on both sides need 368 mm across, the band gives 320 mm",
			"6 lanes would fit; a web of 388 mm would take it",
			func(r *Request) { r.Lanes = 6 }},
		{"shifted", func(r *Request) { r.Shift = mustLength(t, "-2.6mm"); r.Lanes = 6 },
			"too-wide", "6 lanes with 0 mm bleed on both sides need 315 mm across, the band gives 314.8 mm",
			"5 lanes would fit; a web of 340.2 mm would take it", func(r *Request) { r.Web.Width = mustLength(t, "340.2mm") }},
		{"too long", func(r *Request) { r.Label.Around = mustLength(t, "977mm") },
			"too-long", "one row with 3.175 mm gap needs 980.175 mm around, the longest frame gives 980 mm",
			"a label of up to 976.825 mm around would fit; a repeat of 980.175 mm would take it",
			func(r *Request) { r.Label.Around = mustLength(t, "976.825mm") }},
		{"wanted rows", func(r *Request) { r.Rows = 13 },
			"too-long", "13 rows with 3.175 mm gap need 1016.275 mm around, the longest frame gives 980 mm",
			"12 rows would fit; a repeat of 1016.275 mm would take it",
			func(r *Request) { r.Rows = 12 }},
		{"fixed repeat", func(r *Request) { r.Repeat = FixedRepeat(mustLength(t, "78mm")) },
			"too-long", "one row with 3.175 mm gap needs 78.175 mm around, the repeat gives 78 mm",
			"turned to 90 degrees it fits 4 across and 1 around; a label of up to 74.825 mm around would fit; a repeat of 78.175 mm would take it",
			func(r *Request) { r.Turns = []Turn{Turn270} }},
		{"no label", func(r *Request) { r.Label.Around = 0 }, "label-size", "a label of 50 x 0 mm has no area", "", nil},
		{"area", func(r *Request) { r.Area = 3751 }, "label-area", "an area of 3751 mm2 is impossible in a label of 50 x 75 mm", "3750", nil},
		{"no area at all", func(r *Request) { r.Area = math.NaN() }, "label-area", "an area of NaN mm2", "3750", nil},
		{"gap", func(r *Request) { r.Gap.Around = -1 }, "negative-gap", "the gap of 3 x -0.000001 mm is negative", "", nil},
		{"bleed", func(r *Request) { r.Bleed = -1 }, "negative-bleed", "the bleed of -0.000001 mm is negative", "", nil},
		{"web", func(r *Request) { r.Web.Width = 0 }, "web", "a web of 0 mm", "", nil},
		{"edge", func(r *Request) { r.Web.Edge = -1 }, "web", "edges of -0.000001 mm", "", nil},
		{"band", func(r *Request) { r.Web.TargetLane = mustLength(t, "160mm") }, "no-band", "leave nothing of a web of 340 mm", "a web wider than 340 mm", nil},
		{"no repeat", func(r *Request) { r.Repeat = Repeat{} }, "repeat", "the frame has no length", "", nil},
		{"negative rows", func(r *Request) { r.Rows = -1 }, "count", "0 lanes and -1 rows", "", nil},
		{"web of 10 km", func(r *Request) { r.Web.Width = 10_000 * Metre }, "too-large", "the web of 10000000 mm is beyond any press", "100 m", nil},
		{"endless frame", func(r *Request) { r.Repeat = Repeat{Max: longest} }, "too-large", "the longest frame of", "100 m", nil},
		{"absurd shift", func(r *Request) { r.Shift = -1 << 63 }, "too-large", "the shift of", "100 m", nil},
		{"label of 1 nm", func(r *Request) { r.Label = Size{1, 1}; r.Gap = Size{} }, "too-many", "are more than the 100000 stations that a frame may hold", "",
			nil},
		{"lanes of 1 mm2", func(r *Request) { r.Label = Size{Millimetre, Millimetre}; r.Gap = Size{} },
			"too-many", "320 lanes by 980 rows are more than the 100000 stations that a frame may hold", "320 lanes by 312 rows would do",
			func(r *Request) { r.Lanes, r.Rows = 320, 312 }},
		{"rows without end", func(r *Request) { r.Rows = 1 << 62 }, "too-many", "stations that a frame may hold", "one lane by 100000 rows", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := worked(t)
			c.change(&r)
			e := refusal(t, r)
			got := e.Reasons[0]
			if got.Code != c.code || !strings.Contains(got.Text, c.text) || !strings.Contains(got.Nearest, c.nearest) {
				t.Errorf("got %+v", got)
			}
			if got.Nearest == "" || !strings.Contains(e.Hint(), got.Nearest) || !strings.Contains(e.Error(), got.Text) {
				t.Errorf("error %q, hint %q", e, e.Hint())
			}
			if c.nearests != nil {
				c.nearests(&r)
				mustPlan(t, r)
			}
		})
	}
}

func TestPlanGivesAllFaults(t *testing.T) {
	e := refusal(t, Request{Gap: Size{-1, 0}, Bleed: -1, Lanes: -1})
	var codes []string
	for _, r := range e.Reasons {
		codes = append(codes, r.Code)
	}
	if got := strings.Join(codes, " "); got != "label-size negative-gap negative-bleed web repeat count" {
		t.Errorf("got %s", got)
	}
}

// anyRequest draws jobs around the size of a narrow web, some built to fit
// exactly, some hopeless.
func anyRequest() *rapid.Generator[Request] {
	return rapid.Custom(func(t *rapid.T) Request {
		nm := func(name string, lo, hi Length) Length {
			l := Length(rapid.Int64Range(int64(lo), int64(hi)).Draw(t, name))
			if rapid.Bool().Draw(t, name+" in whole tenths") {
				l -= l % (Millimetre / 10)
			}
			return max(l, lo)
		}
		r := Request{
			Web: Web{
				Width:      nm("web", 30*Millimetre, 700*Millimetre),
				Edge:       nm("edge", 0, 12*Millimetre),
				TargetLane: nm("target lane", 0, 8*Millimetre),
			},
			Label:  Size{nm("label across", 8*Millimetre, 300*Millimetre), nm("label around", 8*Millimetre, 300*Millimetre)},
			Gap:    Size{nm("gap across", 0, 8*Millimetre), nm("gap around", 0, 8*Millimetre)},
			Bleed:  nm("bleed", 0, 4*Millimetre),
			Turns:  rapid.SliceOfN(rapid.Map(rapid.IntRange(0, 3), func(i int) Turn { return Turn(i) }), 0, 4).Draw(t, "turns"),
			Shift:  nm("shift", -5*Millimetre, 5*Millimetre),
			Lanes:  rapid.IntRange(0, 3).Draw(t, "lanes"),
			Rows:   rapid.IntRange(0, 3).Draw(t, "rows"),
			Repeat: Repeat{Max: nm("longest frame", 100*Millimetre, 1200*Millimetre)},
		}
		if rapid.Bool().Draw(t, "fixed") {
			r.Repeat = FixedRepeat(r.Repeat.Max)
		}
		if n := Length(rapid.IntRange(0, 6).Draw(t, "built to fit")); n > 0 {
			r.Shift = 0
			r.Web.Width = BlockWidth(int(n), r.Label.Across, r.Gap.Across) + 2*(r.Bleed+r.Web.Margin())
			r.Repeat = Repeat{Max: n * (r.Label.Around + r.Gap.Around)}
		}
		return r
	})
}

// What must hold for every layout that Plan gives.
func TestLayoutsHold(t *testing.T) {
	planned := 0
	rapid.Check(t, func(t *rapid.T) {
		r := anyRequest().Draw(t, "request")
		l, err := Plan(r)
		if err != nil {
			return
		}
		planned++
		if l.Labels() != l.Across*l.Around {
			t.Fatalf("%d stations for %d x %d", l.Labels(), l.Across, l.Around)
		}
		holdsInside(t, r, l)
		holdsApart(t, l)
		holdsEven(t, l)
		if s := l.Split(); !near(s.Label+s.Matrix+s.Edge+s.Tail, 100) || min(s.Label, s.Matrix, s.Edge, s.Tail) < -1e-9 {
			t.Fatalf("the split %+v is not 100 %%", s)
		}
		holdsMost(t, r, l)
	})
	if planned < 20 {
		t.Errorf("only %d of the requests had a layout: the test proves too little", planned)
	}
}

func near(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 }

// holdsInside: all trims and clips lie inside the band and the frame.
func holdsInside(t *rapid.T, r Request, l *Layout) {
	band := Box{Position{r.Web.Margin(), 0}, Position{r.Web.Width - r.Web.Margin(), l.Repeat}}
	var block Box
	for _, s := range l.Station {
		if !band.Contains(s.Clip) || !s.Clip.Contains(s.Trim) {
			t.Fatalf("station %+v leaves the band %v", s, band)
		}
		if s.Trim.Size() != r.Label.Turned(l.Turn) || s.Turn != l.Turn {
			t.Fatalf("station %+v is not a label of %v turned to %v", s, r.Label, l.Turn)
		}
		block = block.Union(s.Trim)
	}
	if block != l.Block {
		t.Fatalf("the block is %v, the stations take %v", l.Block, block)
	}
	if off := 2*(block.Min.Across-r.Shift) + block.Size().Across - r.Web.Width; off > 1 || off < -1 {
		t.Fatalf("the block %v is not centred on %v with a shift of %v", block, r.Web.Width, r.Shift)
	}
}

// holdsApart: no clip overlaps another, neither on the frame nor across the
// seam to the next frame, and gaps are never less than wanted.
func holdsApart(t *rapid.T, l *Layout) {
	at := map[[2]int]Station{}
	for _, s := range l.Station {
		at[[2]int{s.Lane, s.Row}] = s
	}
	for _, s := range l.Station {
		if right, ok := at[[2]int{s.Lane + 1, s.Row}]; ok {
			if s.Clip.Overlaps(right.Clip) || right.Trim.Min.Across-s.Trim.Max.Across != l.Gap.Across {
				t.Fatalf("%+v and %+v", s, right)
			}
		}
		next, ok := at[[2]int{s.Lane, s.Row + 1}]
		if !ok { // the first row of the next frame
			next = at[[2]int{s.Lane, 1}]
			next.Trim, next.Clip = next.Trim.Moved(Size{0, l.Repeat}), next.Clip.Moved(Size{0, l.Repeat})
		}
		if gap := next.Trim.Min.Around - s.Trim.Max.Around; s.Clip.Overlaps(next.Clip) || gap < l.Gap.Around {
			t.Fatalf("%+v and %+v are %v apart, less than %v", s, next, gap, l.Gap.Around)
		}
	}
}

// holdsEven: each row stands within a nanometre of its exact place,
// ((2 row - 1) repeat - rows label) / 2 rows.
func holdsEven(t *rapid.T, l *Layout) {
	n := Length(l.Around)
	for _, s := range l.Station {
		exact := (2*Length(s.Row)-1)*l.Repeat - n*l.Label.Around // times 2n
		if off := 2*n*s.Trim.Min.Around - exact; off > 0 || off <= -2*n {
			t.Fatalf("%+v is %d/%d nm off its place", s, off, 2*n)
		}
	}
}

// holdsMost: one more lane or row never fits, and each wanted count is kept.
func holdsMost(t *rapid.T, r Request, l *Layout) {
	r.Turns = []Turn{l.Turn}
	if r.Lanes > 0 && l.Across != r.Lanes || r.Rows > 0 && l.Around != r.Rows {
		t.Fatalf("%d x %d is not what was wanted", l.Across, l.Around)
	}
	more := r
	if more.Lanes = l.Across + 1; r.Lanes == 0 {
		if m, err := Plan(more); err == nil {
			t.Fatalf("%d lanes would have fitted, not only %d", m.Across, l.Across)
		}
		shy := 2 * max(r.Shift, -r.Shift)
		if BlockWidth(more.Lanes, l.Label.Across, r.Gap.Across)+2*r.Bleed+shy <= r.Web.Band() {
			t.Fatalf("%d lanes have room", more.Lanes)
		}
	}
	more = r
	if more.Rows = l.Around + 1; r.Rows == 0 {
		if m, err := Plan(more); err == nil {
			t.Fatalf("%d rows would have fitted, not only %d", m.Around, l.Around)
		}
		if Length(more.Rows)*(l.Label.Around+r.Gap.Around) <= max(r.Repeat.Fixed, r.Repeat.Max) {
			t.Fatalf("%d rows have room", more.Rows)
		}
	}
}

// With all turns allowed the layout takes no more web for a label than any
// single turn does.
func TestBestTurnIsBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRequest().Draw(t, "request")
		r.Turns = []Turn{Turn0, Turn90}
		best, _ := Plan(r)
		for _, turn := range r.Turns {
			one := r
			one.Turns = []Turn{turn}
			l, err := Plan(one)
			if err != nil {
				continue
			}
			if best == nil {
				t.Fatalf("a turn of %v fits alone but not among others", turn)
			}
			if float64(best.Repeat)/float64(best.Labels()) > float64(l.Repeat)/float64(l.Labels())*(1+1e-12) {
				t.Fatalf("%v takes less web than the best turn %v", turn, best.Turn)
			}
		}
	})
}

// Every way out that a refusal names is a way out.
func TestNearestDoesFit(t *testing.T) {
	ways := map[string]func(*Request, string){
		`a web of (\S+) mm would take it`:            func(r *Request, s string) { r.Web.Width = millimetres(s) },
		`a label of up to (\S+) mm across would fit`: func(r *Request, s string) { r.setTurned(millimetres(s), 0) },
		`a label of up to (\S+) mm around would fit`: func(r *Request, s string) { r.setTurned(0, millimetres(s)) },
		`(\S+) lanes? would fit`:                     func(r *Request, s string) { r.Lanes = count(s) },
		`(\S+) rows? would fit`:                      func(r *Request, s string) { r.Rows = count(s) },
		`turned to (\d+) degrees it fits`:            func(r *Request, s string) { r.Turns = []Turn{Turn(count(s) / 90)} },
		`a repeat of (\S+) mm would take it`: func(r *Request, s string) {
			if r.Repeat.Fixed > 0 {
				r.Repeat.Fixed = millimetres(s)
			} else {
				r.Repeat.Max = millimetres(s)
			}
		},
	}
	used := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		r := anyRequest().Draw(t, "request")
		r.Lanes = rapid.SampledFrom([]int{0, 0, 1, 4, 9}).Draw(t, "wanted lanes")
		r.Rows = rapid.SampledFrom([]int{0, 0, 1, 9, 30}).Draw(t, "wanted rows")
		_, err := Plan(r)
		var e *NotFitError
		if !errors.As(err, &e) || e.Reasons[0].Code == "no-band" {
			return
		}
		if len(r.Turns) == 0 {
			r.Turns = []Turn{Turn0}
		}
		r.Turns = r.Turns[:1]   // the reasons are the first turn's
		if len(e.Reasons) > 1 { // each reason's way out clears that reason only
			return
		}
		for pattern, change := range ways {
			m := regexp.MustCompile(pattern).FindStringSubmatch(e.Reasons[0].Nearest)
			if m == nil {
				continue
			}
			used[pattern]++
			changed := r
			change(&changed, m[1])
			if _, err := Plan(changed); err != nil {
				t.Fatalf("%q was promised but: %v", m[0], err)
			}
		}
	})
	for pattern := range ways {
		if used[pattern] == 0 {
			t.Errorf("no refusal promised %s: the test proves nothing of it", pattern)
		}
	}
}

// setTurned sets a side of the label as it lies on the web.
func (r *Request) setTurned(across, around Length) {
	lying := r.Label.Turned(r.Turns[0])
	if across > 0 {
		lying.Across = across
	}
	if around > 0 {
		lying.Around = around
	}
	r.Label = lying.Turned(r.Turns[0])
}

func millimetres(s string) Length {
	l, err := ParseLength(s + "mm")
	if err != nil {
		panic(err)
	}
	return l
}

func count(s string) int {
	if s == "one" {
		return 1
	}
	n, err := strconv.Atoi(s)
	if err != nil {
		panic(err)
	}
	return n
}
