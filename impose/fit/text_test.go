package fit

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"unicode/utf8"

	"quoin/geometry"
)

// room makes dies of all kinds, of one size mostly.
func room(n int) []geometry.Die {
	r := rand.New(rand.NewPCG(1, 2))
	pick := func(most int) geometry.Length { return geometry.Length(r.IntN(most)) * mm / 8 }
	kinds := []geometry.StationKind{geometry.FullRotary, geometry.SemiRotary, geometry.FlatBed, geometry.Laser}
	conditions := []geometry.Condition{geometry.DieGood, geometry.DieGood, geometry.DieWorn, geometry.DieRetired}
	dies := make([]geometry.Die, n)
	for i := range dies {
		d := &dies[i]
		*d = geometry.Die{Number: fmt.Sprintf("%05d", i), Shape: geometry.ShapeRectangle, Size: size(50*mm, 75*mm),
			Lanes: 1 + r.IntN(7), Rows: 1 + r.IntN(5), Gap: size(2*mm+pick(20), 0),
			Station: kinds[r.IntN(4)], Condition: conditions[r.IntN(4)]}
		if i%3 > 0 {
			d.Size = size(20*mm+pick(800), 20*mm+pick(800))
		}
		d.Repeat = geometry.Length(d.Rows)*(d.Size.Around+2*mm) + pick(40)
	}
	dies[n/2].Number = strings.Repeat("the long name of a die ", 4)
	return dies
}

// question asks the room with everything that makes a table wide.
func question(dies []geometry.Die) Question {
	w := wish(size(50*mm, 75*mm), 340*mm)
	w.Webs = append(w.Webs, geometry.Web{Width: 250 * mm}, geometry.Web{Width: 330 * mm})
	w.Turns = []geometry.Turn{geometry.Turn0, geometry.Turn90}
	w.Quantity, w.Near = 1_000_000, mm
	w.Terms = geometry.Terms{Setup: 60 * geometry.Metre, RunWaste: 3 * geometry.Percent, Speed: 60 * geometry.Metre}
	q := Question{Wish: w, Dies: dies, Stock: w.Webs, All: true}
	q.Money = &Money{"EUR", map[geometry.StationKind]float64{geometry.FullRotary: 300}, func(width, _ geometry.Length, run *geometry.Usage) (float64, error) {
		return .35*width.Metres()*run.Gross.Metres() + 180*run.Minutes/60, nil
	}}
	return q
}

func TestTablesFitTheirColumns(t *testing.T) {
	for _, dies := range [][]geometry.Die{room(300), nil} {
		r, err := Answer(question(dies))
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		if err := r.Text(&b); err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if n := utf8.RuneCountInString(line); n > Columns {
				t.Errorf("%d columns: %s", n, line)
			}
		}
	}
}

// BenchmarkAnswer asks a die room of 10,000, all to the report.
func BenchmarkAnswer(b *testing.B) {
	q := question(room(10_000))
	q.All = false
	for b.Loop() {
		if _, err := Answer(q); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(100e6/(float64(b.Elapsed())/float64(b.N)), "x-faster-than-100ms")
}
