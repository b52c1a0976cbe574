package plan

import (
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// twoWidths are the rules of one press with a die for a web of 340 mm and one of 250 mm.
func twoWidths(t *testing.T, lots ...job.Lot) *night.Rules {
	t.Helper()
	dies, err := job.ParseDies("d.csv", []byte("number,size,radius,lanes,rows,gap,repeat,station\n02,50x75mm,3mm,6,8,3x3.175mm,625.4mm,full-rotary\n03,50x75mm,3mm,4,4,3x4.375mm,317.5mm,full-rotary\n"))
	if err != nil {
		t.Fatal(err)
	}
	r := nighttest.MoneyRules(t)
	r.House.Dies, r.Presses, r.House.Press.Webs, r.House.Press.Lots = dies, nil, []geometry.Length{250 * mm, 340 * mm}, lots
	return r
}

const threeOfFilm = "order,quantity,label,material,inks\nA,20000,50x75mm,film,\"C,M,Y,K\"\nB,15000,50x75mm,film,\"C,M,Y,K\"\nC,9000,50x75mm,film,\"C,M,Y,K\"\n"

// TestRestsOfRollsChooseTheWeb: 5,000 m of a narrow web lie there for a tenth of its
// price. The night is the one of a narrow web that costs so little for good, and no dearer
// for the full rolls beside them; the bound knows that they don't last.
func TestRestsOfRollsChooseTheWeb(t *testing.T) {
	rest := job.Lot{Width: 250 * mm, Material: "film", Length: 5000 * geometry.Metre, PerM2: 0.05, Remainder: true}
	wide, full := job.Lot{Width: 340 * mm, Material: "film"}, job.Lot{Width: 250 * mm, Material: "film"}
	all := nighttest.Orders(t, threeOfFilm)
	only, both, none := made(t, all, twoWidths(t, rest, wide)), made(t, all, twoWidths(t, rest, full, wide)), made(t, all, twoWidths(t, full, wide))
	if *both.Total.Money != *only.Total.Money || both.Runs[0].WebMM != 250 || none.Runs[0].WebMM != 340 || *none.Total.Money <= *both.Total.Money {
		t.Errorf("rests alone %d, beside full rolls %d on %g mm, without %d on %g mm", *only.Total.Money, *both.Total.Money, both.Runs[0].WebMM, *none.Total.Money, none.Runs[0].WebMM)
	}
	if *both.Alone.Money != *only.Alone.Money {
		t.Errorf("alone %d, with rests alone %d", *both.Alone.Money, *only.Alone.Money)
	}
	if both.GapPercent > only.GapPercent+0.01 {
		t.Errorf("the gap is %.2f %%, with rests alone %.2f %%", both.GapPercent, only.GapPercent)
	}
	// A rest of 10 m changes nothing but what it saves.
	rest.Length = 10 * geometry.Metre
	if little := made(t, all, twoWidths(t, rest, full, wide)); *little.Total.Money > *none.Total.Money {
		t.Errorf("with 10 m of rests %d, without %d", *little.Total.Money, *none.Total.Money)
	}
}

// TestSortedLanesCostNoMoreThanWholeOnes: lanes may mix, and sorting is dear: what it costs
// is never more than what whole lanes do.
func TestSortedLanesCostNoMoreThanWholeOnes(t *testing.T) {
	all := nighttest.Orders(t, "order,quantity,label,material,inks\n"+strings.Join([]string{"A,300", "B,500", "C,700", "D,1500", "E,1500", "F,300", "G,500"}, ",50x75mm,paper,\"C,M,Y,K\"\n")+",50x75mm,paper,\"C,M,Y,K\"\n")
	var last int64
	for i, price := range []float64{0, 0.001, 0.02} {
		r := twoWidths(t)
		r.House.Press.Prices.PerSorted = price
		whole := *made(t, all, r).Total.Money
		r.Mixed = true
		p := made(t, all, r)
		if *p.Total.Money > whole || *p.Total.Money < last || i == 0 && *p.Total.Money == whole {
			t.Errorf("sorting for %g: %d, in whole lanes %d", price, *p.Total.Money, whole)
		}
		last = *p.Total.Money
	}
}

// TestScarceWebIsRationed: 370 m and 300 m of film are too little for three orders that
// would share runs, and enough for two of them; the most urgent is among these.
func TestScarceWebIsRationed(t *testing.T) {
	lots := []job.Lot{{Width: 250 * mm, Material: "film", Length: 370 * geometry.Metre}, {Width: 340 * mm, Material: "film", Length: 300 * geometry.Metre}}
	for _, urgent := range []int{-1, 1, 2} {
		all := nighttest.Orders(t, threeOfFilm)
		if urgent >= 0 {
			all[urgent].Priority = 5
		}
		r := twoWidths(t, lots...)
		p := made(t, all, r)
		if len(p.Unplanned) != 1 || p.Unplanned[0].Code != night.NoWeb || urgent >= 0 && len(runsOf(p, all[urgent].ID)) == 0 {
			t.Errorf("urgent %d: left out %+v", urgent, p.Unplanned)
		}
		if *p.Bound.Money <= 0 || *p.Bound.Money > *p.Total.Money {
			t.Errorf("the bound is %d of %d", *p.Bound.Money, *p.Total.Money)
		}
		used := map[float64]float64{}
		for _, run := range p.Runs {
			used[run.WebMM] += run.WebGrossM
		}
		if used[250] > 370 || used[340] > 300 {
			t.Errorf("taken: %v", used)
		}
	}
	// Where one web has no end, what it would cost less on the other is rationed, not lost.
	lots[0].Length = 0
	p := made(t, nighttest.Orders(t, threeOfFilm), twoWidths(t, lots...))
	lots[1].Length = 1 * geometry.Metre
	if none := made(t, nighttest.Orders(t, threeOfFilm), twoWidths(t, lots...)); len(p.Unplanned)+len(none.Unplanned) > 0 || *p.Total.Money > *none.Total.Money {
		t.Errorf("with 300 m %d, with none %d; left out %v", *p.Total.Money, *none.Total.Money, p.Unplanned)
	}
}

// TestSearchWithinStockIsTakenOver: orders that lost a web in the search know fewer ways
// than the order list gives them; a second start finds those that were chosen.
func TestSearchWithinStockIsTakenOver(t *testing.T) {
	lots := []job.Lot{{Width: 250 * mm, Material: "film"}, {Width: 340 * mm, Material: "film", Length: geometry.Metre}}
	all, place := nighttest.Orders(t, threeOfFilm), filepath.Join(t.TempDir(), "night")
	var first string
	for start := range 2 {
		r, f, searched := twoWidths(t, lots...), nighttest.Folder(t, place), false
		r.Tell = func(stage string, _, _ int) {
			searched = searched || stage == "groups proved" || stage == "ways to print"
		}
		p, err := Make(t.Context(), all, r, f)
		if err != nil {
			t.Fatal(err)
		}
		f.Close()
		if start == 0 {
			first = marshal(t, p)
		} else if searched || marshal(t, p) != first {
			t.Errorf("searched again: %v\n%s\n%s", searched, first, marshal(t, p))
		}
		if p.Runs[0].WebMM != 250 {
			t.Errorf("printed on %g mm, of which there is 1 m", p.Runs[0].WebMM)
		}
	}
}
