package fit

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"quoin/geometry"
	"quoin/impose/say"
)

// order asks for labels of 50 x 75 mm on webs of 340 and 200 mm without a die.
func order(quantity int64) Question {
	w := wish(size(50*mm, 75*mm), 340*mm)
	w.Webs = append(w.Webs, geometry.Web{Width: 200 * mm})
	w.Quantity = quantity
	w.Terms = geometry.Terms{Setup: 60 * geometry.Metre, RunWaste: 3 * geometry.Percent, Speed: 120 * geometry.Metre}
	return Question{Wish: w}
}

// TestCompareByHand: 340 mm take 6 lanes (6 x 53 - 3 = 315), 200 mm take 3
// (156), each 12 rows on 936 mm. Make-ready of 60 m is 20.4 and 12 m2; a label
// takes 0.936 x 1.03 x 0.34 / 72 = 0.00455260 and 0.936 x 1.03 x 0.2 / 36 =
// 0.00535600 m2. They cost the same at 8.4 / 0.00080340 = 10,456 labels.
func TestCompareByHand(t *testing.T) {
	c, err := Compare(order(100_000))
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Options) != 2 || c.Measure != "area" || c.Unit != "m2" {
		t.Fatalf("%+v", c)
	}
	best, other := c.Options[0], c.Options[1]
	if best.WebMM != 340 || other.WebMM != 200 || best.More != 0 || best.BreakEven != 0 {
		t.Errorf("best %+v, other %+v", best, other)
	}
	// ceil(100000/72) = 1389 frames, 1300.104 m, x 1.03 + 60 = 1399.107 m;
	// ceil(100000/36) = 2778 frames, 2600.208 m, x 1.03 + 60 = 2738.214 m.
	if math.Abs(other.MoreM-1339.10712) > 1e-6 || math.Abs(other.MoreMin-1339.10712/120) > 1e-6 ||
		math.Abs(other.More-(0.2*2738.21424-0.34*1399.10712)) > 1e-6 {
		t.Errorf("more: %v m, %v min, %v m2", other.MoreM, other.MoreMin, other.More)
	}
	if other.BreakEven != 10_456 || other.BetterAbove {
		t.Errorf("break-even at %d, above %v", other.BreakEven, other.BetterAbove)
	}
	want := []Span{{Option: 2, From: 0, To: 10_456}, {Option: 1, From: 10_456}}
	if len(c.Best) != 2 || c.Best[0] != want[0] || c.Best[1] != want[1] {
		t.Errorf("%+v", c.Best)
	}
}

// TestBreakEvenTurnsTheOrder plans real runs, frames rounded up, on both sides
// of the break-even: the other option is the best there.
func TestBreakEvenTurnsTheOrder(t *testing.T) {
	for _, c := range []struct {
		quantity int64
		web      float64
	}{{10_456 - 400, 200}, {10_456 + 400, 340}} {
		got, err := Compare(order(c.quantity))
		if err != nil {
			t.Fatal(err)
		}
		if got.Options[0].WebMM != c.web {
			t.Errorf("%d labels: the best web is %v mm", c.quantity, got.Options[0].WebMM)
		}
	}
}

// TestSpansAreTheLowestLines compares the spans with every line at many
// quantities.
func TestSpansAreTheLowestLines(t *testing.T) {
	for _, money := range []bool{false, true} {
		q := question(room(500))
		if !money {
			q.Money = nil
		}
		c, err := Compare(q)
		if err != nil {
			t.Fatal(err)
		}
		if len(c.Options) < 100 {
			t.Fatalf("only %d options", len(c.Options))
		}
		for _, labels := range []float64{1, 50, 1e3, 1e4, 1e5, 1e6, 1e8} {
			least, in := math.Inf(1), -1
			for _, o := range c.Options {
				least = min(least, o.line.at(labels))
			}
			for i, s := range c.Best {
				if float64(s.From) <= labels && (s.To == 0 || labels < float64(s.To)) {
					in = i
				}
			}
			if in < 0 {
				t.Fatalf("no span holds %v: %+v", labels, c.Best)
			}
			if got := c.Options[c.Best[in].Option-1].line.at(labels); got > least*(1+1e-6) {
				t.Errorf("%v labels: the span's option costs %v, the best %v", labels, got, least)
			}
		}
	}
}

// TestNewToolPays: a die of 2 lanes serves a few labels, a new tool of 6 pays
// for many.
func TestNewToolPays(t *testing.T) {
	q := order(1000)
	narrow := die("narrow", size(50*mm, 75*mm), 2, 4)
	narrow.Gap.Across, narrow.Repeat = 3*mm, 4*78*mm
	q.Dies = []geometry.Die{narrow}
	q.Wish.Webs = q.Wish.Webs[:1]
	q.Cylinders = []geometry.Cylinder{{Teeth: 100, Gear: geometry.CircularPitch(geometry.Inch / 8)}}
	cost := func(width, _ geometry.Length, run *geometry.Usage) (float64, error) {
		return .5 * width.Metres() * run.Gross.Metres(), nil
	}
	q.Money = &Money{"EUR", map[geometry.StationKind]float64{}, cost}
	if c, err := Compare(q); err != nil || len(c.Options) != 1 {
		t.Fatalf("without its price a new tool is compared: %v, %+v", err, c)
	}
	q.Money.Tools[geometry.FullRotary] = 400
	c, err := Compare(q)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Options) != 2 || c.Options[0].Die != "narrow" || !c.Options[1].NewTool || !c.Options[1].BetterAbove || len(c.Best) != 2 {
		t.Fatalf("%+v", c)
	}
	q.Wish.Quantity = c.Options[1].BreakEven + 1000
	if c, err = Compare(q); err != nil || !c.Options[0].NewTool {
		t.Errorf("beyond the break-even the die is still the best: %v, %+v", err, c.Options)
	}
}

func TestNothingToCompare(t *testing.T) {
	q := order(1000)
	q.Wish.Label = size(400*mm, 500*mm)
	_, err := Compare(q)
	var e *geometry.NotFitError
	if !errors.As(err, &e) || e.Reasons[0].Code != "too-wide" {
		t.Errorf("%v", err)
	}
	q.Dies = []geometry.Die{die("1", size(50*mm, 75*mm), 2, 3)}
	if _, err = Compare(q); !errors.As(err, &e) {
		t.Errorf("%v", err)
	}
}

func TestComparisonFitsItsColumns(t *testing.T) {
	for _, dies := range [][]geometry.Die{room(300), nil} {
		q := question(dies)
		q.Cylinders = []geometry.Cylinder{{Teeth: 100, Gear: geometry.CircularPitch(geometry.Inch / 8)}}
		c, err := Compare(q)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		if err := c.Text(&b); err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if n := utf8.RuneCountInString(line); n > Columns {
				t.Errorf("%d columns: %s", n, line)
			}
		}
	}
}

// TestPlot reads the drawing as XML: as many lines as options are drawn in each
// of two panels, and all of them inside.
func TestPlot(t *testing.T) {
	c, err := Compare(order(20_000))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := c.Plot(&b); err != nil {
		t.Fatal(err)
	}
	lines, changes := 0, 0
	d := xml.NewDecoder(strings.NewReader(b.String()))
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		if e.Name.Local == "circle" {
			changes++
		}
		for _, a := range e.Attr {
			if e.Name.Local != "polyline" || a.Name.Local != "points" {
				continue
			}
			lines++
			for _, p := range strings.Fields(a.Value) {
				xs, ys, _ := strings.Cut(p, ",")
				x, errX := strconv.ParseFloat(xs, 64)
				y, errY := strconv.ParseFloat(ys, 64)
				if errX != nil || errY != nil || x < plotLeft-.1 || x > plotWide-plotRight+.1 || y < 0 || math.IsNaN(y) {
					t.Fatalf("a line goes through %s", p)
				}
			}
		}
	}
	if lines != 4 || changes != 2 {
		t.Errorf("%d lines, %d changes", lines, changes)
	}
}

func TestTicksAreRound(t *testing.T) {
	for _, c := range []struct {
		high float64
		want string
	}{{1, "0 0.2 0.4 0.6 0.8 1"}, {200_000, "0 50,000 100,000 150,000 200,000"}, {47, "0 10 20 30 40"}, {7.2, "0 2 4 6"}, {0.031, "0 0.005 0.01 0.015 0.02 0.025 0.03"}} {
		var got []string
		for _, v := range ticks(c.high) {
			got = append(got, say.Decimals(v, 6))
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("up to %v: %s", c.high, s)
		}
	}
}

// BenchmarkCompare compares a die room of 500 on three webs.
func BenchmarkCompare(b *testing.B) {
	q := question(room(500))
	for b.Loop() {
		if _, err := Compare(q); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(100e6/(float64(b.Elapsed())/float64(b.N)), "x-faster-than-100ms")
}

// TestInkCounts: two inks of 1,000 and 500 mm2 on a label, the first
// with 2 mg a label at 40 a kg. 340 mm make ceil(100000/72) x 72 = 100,008 labels, 200
// mm ceil(100000/36) x 36 the same: 150.012 m2, 200.016 g and 8.00064.
func TestInkCounts(t *testing.T) {
	q := order(100_000)
	g, cost := .002, .00008
	q.Inks = []LabelInk{{Name: "Cyan", MM2: 1000, G: &g, Cost: &cost}, {Name: "Varnish", MM2: 500}}
	q.Money = &Money{Currency: "EUR", Cost: func(width, _ geometry.Length, run *geometry.Usage) (float64, error) {
		return width.Metres() * run.Gross.Metres(), nil
	}}
	with, err := Compare(q)
	if err != nil {
		t.Fatal(err)
	}
	q.Inks = nil
	without, err := Compare(q)
	if err != nil {
		t.Fatal(err)
	}
	if len(with.Ink) != 2 || without.Ink != nil {
		t.Errorf("inks %+v and %+v", with.Ink, without.Ink)
	}
	for i, o := range with.Options {
		bare := without.Options[i]
		if math.Abs(o.InkM2-150.012) > 1e-9 || math.Abs(o.InkG-200.016) > 1e-9 || math.Abs(o.InkCost-8.00064) > 1e-9 || math.Abs(o.Cost-bare.Cost-o.InkCost) > 1e-9 {
			t.Errorf("option %d: %v m2, %v g, %v, cost %v", i+1, o.InkM2, o.InkG, o.InkCost, o.Cost)
		}
		if each := o.line.each - bare.line.each; math.Abs(each-cost) > 1e-12 {
			t.Errorf("option %d: each label costs %v more", i+1, each)
		}
		if bare.InkM2 != 0 || bare.InkG != 0 || bare.InkCost != 0 {
			t.Errorf("ink that nobody measured counts: %+v", bare)
		}
	}
	var text strings.Builder
	if err := with.Text(&text); err != nil || !strings.Contains(text.String(), "200.0") || !strings.Contains(text.String(), "ink") {
		t.Errorf("%v\n%s", err, &text)
	}
}
