package geometry

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// rotary is a die for labels of 50 x 75 mm: 6 lanes, 4 rows on 100 teeth of 1/8
// inch, whose repeat of 317.5 mm leaves gaps of 4.375 mm.
func rotary(t tester) Die {
	return Die{
		Number: "R-100", Size: mustSize(t, "50x75mm"), Lanes: 6, Rows: 4, Gap: mustSize(t, "3x0mm"),
		Cylinder: Cylinder{100, eighth}, Station: FullRotary,
	}
}

// flat is a semi-rotary die for the same labels: 3 rows in each stroke.
func flat(t tester) Die {
	return Die{
		Number: "S-3", Size: mustSize(t, "50x75mm"), Lanes: 6, Rows: 3, Gap: mustSize(t, "3x3.175mm"), Station: SemiRotary,
	}
}

func TestDieChecks(t *testing.T) {
	for _, d := range []Die{rotary(t), flat(t), {Size: Size{1, 1}, Station: Laser}, {Size: Size{1, 1}}} {
		if reasons := d.Check(); len(reasons) > 0 {
			t.Errorf("%+v: %v", d, reasons)
		}
	}
	for _, c := range []struct {
		code   string
		change func(*Die)
	}{
		{"die-length", func(d *Die) { d.Gap.Across = -1 }},
		{"die-length", func(d *Die) { d.Repeat = LongestExtent + 1 }},
		{"die-size", func(d *Die) { d.Size.Across = 0 }},
		{"die-area", func(d *Die) { d.Area = 3751 }},
		{"die-area", func(d *Die) { d.Area = math.NaN() }},
		{"die-circle", func(d *Die) { d.Shape = ShapeCircle }},
		{"die-count", func(d *Die) { d.Lanes = 0 }},
		{"die-count", func(d *Die) { d.Rows = 1 << 40 }},
		{"die-gear", func(d *Die) { d.Cylinder.Teeth = -5 }},
		{"die-gear", func(d *Die) { d.Cylinder.Gear = DiametralPitch(0) }},
		{"die-station", func(d *Die) { d.Station = "press" }},
		{"die-repeat", func(d *Die) { d.Rows = 5 }},                                                  // 375 mm of 317.5 mm
		{"die-gap", func(d *Die) { d.Gap.Around = mustLength(t, "3mm") }},                            // but the repeat leaves 4.375 mm
		{"die-repeat", func(d *Die) { *d = flat(t); d.Repeat = mustLength(t, "231.349mm") }},         // the rows reach 231.35 mm
		{"die-repeat", func(d *Die) { *d = flat(t); d.Gap.Around = 0; d.Repeat = 224 * Millimetre }}, // 225 mm of labels
	} {
		d := rotary(t)
		c.change(&d)
		reasons := d.Check()
		if len(reasons) == 0 || reasons[0].Code != c.code || reasons[0].Text == "" || reasons[0].Nearest == "" {
			t.Errorf("%+v: got %+v, want %s with a way out", d, reasons, c.code)
		}
	}
	d := rotary(t)
	d.Gap.Around = mustLength(t, "4.4mm") // within 0.05 mm of what the repeat leaves
	if reasons := d.Check(); len(reasons) > 0 {
		t.Error(reasons)
	}
	l, err := d.Layout(Web{Width: 340 * Millimetre}, Repeat{Max: 980 * Millimetre}, Turn0, 0)
	if err != nil || l.Gap.Around.String() != "4.375 mm" {
		t.Errorf("the rotary die's real gap is what its repeat leaves: got %v, %v", l, err)
	}
}

// TV-G20 and G21: plain arithmetic. A frame of 914.4 mm is three repeats of
// 304.8 mm; one of 980 mm walks by 65.6 mm. That a full-rotary die needs whole
// repeats: columbinelabel.com, Understanding die cutting tolerances.
func TestWalk(t *testing.T) {
	for _, c := range []struct {
		id, frame, repeat, walk string
		repeats                 int
	}{
		{"TV-G20", "914.4mm", "304.8mm", "0mm", 3},
		{"TV-G21", "980mm", "304.8mm", "65.6mm", 3},
		{"nearest is above", "900mm", "304.8mm", "14.4mm", 3},
		{"less than one", "100mm", "304.8mm", "204.8mm", 1},
	} {
		repeats, walk := Walk(mustLength(t, c.frame), mustLength(t, c.repeat))
		if repeats != c.repeats || walk != mustLength(t, c.walk) {
			t.Errorf("%s: got %d repeats and a walk of %v", c.id, repeats, walk)
		}
	}
	die := Die{Size: mustSize(t, "50x73mm"), Lanes: 6, Rows: 4, Gap: mustSize(t, "3x0mm"), Cylinder: Cylinder{96, eighth}, Station: FullRotary}
	web := Web{Width: 340 * Millimetre, Edge: 10 * Millimetre}
	for frame, nearest := range map[string]string{
		"980mm": "a frame of 914.4 mm would do", "914.400004mm": "a frame of 914.4 mm would do", "100mm": "a frame of 304.8 mm would do",
	} {
		_, err := die.Layout(web, FixedRepeat(mustLength(t, frame)), Turn0, 0)
		var e *NotFitError
		if !errors.As(err, &e) || e.Reasons[0].Code != "rotary-multiple" || e.Reasons[0].Nearest != nearest {
			t.Errorf("%s: got %v, want %s", frame, err, nearest)
		}
	}
	for _, repeat := range []Repeat{FixedRepeat(mustLength(t, "914.4mm")), Repeat{Max: mustLength(t, "980mm")}} {
		l, err := die.Layout(web, repeat, Turn0, 0)
		if err != nil {
			t.Fatal(err)
		}
		is(t, "frame", l.Repeat.String(), "914.4 mm")
		is(t, "rows", l.Around, 12)
		is(t, "gap", l.Gap.Around.String(), "3.2 mm")
	}
}

func TestDieLayouts(t *testing.T) {
	web := Web{Width: 340 * Millimetre, Edge: 10 * Millimetre}
	laser := Die{Size: mustSize(t, "50x75mm"), Gap: mustSize(t, "3x3.175mm"), Station: Laser}
	for _, c := range []struct {
		name        string
		die         Die
		repeat      Repeat
		around      int
		frame, tail string
		gap         string
	}{
		{"rotary, longest frame", rotary(t), Repeat{Max: 980 * Millimetre}, 12, "952.5 mm", "0 mm", "4.375 mm"},
		{"semi-rotary, longest frame", flat(t), Repeat{Max: 980 * Millimetre}, 12, "938.1 mm", "0 mm", "3.175 mm"},
		{"semi-rotary, fixed frame", flat(t), FixedRepeat(980 * Millimetre), 12, "980 mm", "41.9 mm", "3.175 mm"},
		{"laser, longest frame", laser, Repeat{Max: 980 * Millimetre}, 12, "938.1 mm", "0 mm", "3.175 mm"},
	} {
		l, err := c.die.Layout(web, c.repeat, Turn180, Millimetre)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		is(t, c.name, l.Across, 6)
		is(t, c.name, l.Around, c.around)
		is(t, c.name, l.Labels(), 6*c.around)
		is(t, c.name, l.Repeat.String(), c.frame)
		is(t, c.name, l.Tail.String(), c.tail)
		is(t, c.name, l.Gap.Around.String(), c.gap)
		is(t, c.name, l.Station[0].Turn, Turn180)
	}
	for _, c := range []struct {
		code, nearest string
		die           Die
		web           string
		repeat        Repeat
	}{
		{"too-wide", "a web of 337 mm would take it", rotary(t), "336mm", Repeat{Max: Metre}},
		{"too-long", "a repeat of 317.5 mm would take it", rotary(t), "340mm", Repeat{Max: 317 * Millimetre}},
		{"too-long", "a repeat of 234.525 mm would take it", flat(t), "340mm", FixedRepeat(234 * Millimetre)},
		{"too-wide", "a web of 72 mm would take it", laser, "71mm", Repeat{Max: Metre}},
		{"too-many", "6 lanes by 16666 rows would do", Die{Size: Size{50 * Millimetre, 1}, Lanes: 6, Rows: 1, Station: FlatBed}, "340mm", Repeat{Max: Metre}},
		{"die-count", "both are at least 1", Die{Size: Size{1, 1}, Station: FlatBed}, "340mm", Repeat{Max: Metre}},
		{"web", "the width is more than 0", rotary(t), "0mm", Repeat{Max: Metre}},
	} {
		_, err := c.die.Layout(Web{Width: mustLength(t, c.web), Edge: 10 * Millimetre}, c.repeat, Turn0, Millimetre)
		var e *NotFitError
		if !errors.As(err, &e) || e.Reasons[0].Code != c.code || !strings.Contains(e.Hint(), c.nearest) {
			t.Errorf("%+v: got %v; want %s and %s", c.die, err, c.code, c.nearest)
		}
	}
}

// anyDie draws dies of all kinds for labels of one size.
func anyDie(size Size) *rapid.Generator[Die] {
	return rapid.Custom(func(t *rapid.T) Die {
		d := Die{
			Size: size, Lanes: rapid.IntRange(1, 8).Draw(t, "lanes"), Rows: rapid.IntRange(1, 8).Draw(t, "rows"),
			Gap: Size{
				Length(rapid.Int64Range(0, int64(6*Millimetre)).Draw(t, "gap across")),
				Length(rapid.Int64Range(0, int64(6*Millimetre)).Draw(t, "gap around")),
			},
			Station: rapid.SampledFrom([]StationKind{FullRotary, SemiRotary, FlatBed, Laser, NoTool}).Draw(t, "station"),
		}
		if d.Station == FullRotary && rapid.Bool().Draw(t, "geared") {
			gear := anyGear().Draw(t, "gear")
			d.Cylinder = Cylinder{gear.TeethFor(Length(d.Rows) * (size.Around + d.Gap.Around)), gear}
			d.Gap.Around = 0
		}
		return d
	})
}

// What holds for every layout holds for a die's, and its own grid is kept.
func TestDieLayoutsHold(t *testing.T) {
	laid := 0
	rapid.Check(t, func(t *rapid.T) {
		r := anyRequest().Draw(t, "request")
		r.Label = Size{min(r.Label.Across, 90*Millimetre), min(r.Label.Around, 120*Millimetre)}
		r.Shift = 0
		d := anyDie(r.Label).Draw(t, "die")
		l, err := d.Layout(r.Web, r.Repeat, Turn180, r.Bleed)
		if err != nil {
			return
		}
		laid++
		used := *l // the rows close a ring around what the tool reaches
		used.Repeat -= used.Tail
		inside := r
		inside.Label = d.Size
		holdsInside(t, inside, l)
		holdsApart(t, &used)
		holdsEven(t, &used)
		if l.Across != d.Lanes || l.Around%d.Rows != 0 && !d.free() {
			t.Fatalf("%d x %d are not the die's %d x %d", l.Across, l.Around, d.Lanes, d.Rows)
		}
		if s := l.Split(); !near(s.Label+s.Matrix+s.Edge+s.Tail, 100) {
			t.Fatalf("the split %+v is not 100 %%", s)
		}
		if d.free() {
			return
		}
		times := Length(l.Around / d.Rows)
		if used.Repeat != times*d.Advance() && r.Repeat.Fixed == 0 {
			t.Fatalf("%v is not %d times %v", used.Repeat, times, d.Advance())
		}
		if _, walk := Walk(l.Repeat, d.Advance()); d.Station == FullRotary && walk > times {
			t.Fatalf("the frame walks by %v", walk)
		}
		if limit := max(r.Repeat.Fixed, r.Repeat.Max); (times+1)*d.Advance() <= limit {
			t.Fatalf("%d times %v would have fitted %v", times+1, d.Advance(), limit)
		}
		if off := l.Gap.Around - d.gapAround(); off > 1 || off < -1 {
			t.Fatalf("the gap around is %v, the die's %v", l.Gap.Around, d.gapAround())
		}
	})
	if laid < 40 {
		t.Errorf("only %d dies had a layout: the test proves too little", laid)
	}
}

// Layout lays the die's stations on a web, in frames as the repeat allows: the
// longest frame that is a whole number of repeats (full-rotary) or strokes
// (semi-rotary, flat-bed), or all that fits (no tool). The stations keep the
// die's own gaps; the turn is the label's. A web or a frame that doesn't suit
// is a *NotFitError. Stripping, materials and machines are RankDies' matter.
func (d *Die) Layout(web Web, repeat Repeat, turn Turn, bleed Length) (*Layout, error) {
	l, reasons := d.plan(&Request{Web: web, Label: d.Size, Area: d.area(), Gap: d.Gap, Bleed: bleed, Repeat: repeat}, turn)
	if len(reasons) > 0 {
		return nil, &NotFitError{reasons}
	}
	l.grid(0)
	return &l, nil
}
