package plan

import (
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// shelved is a night of one press, without the prices of anything but web.
func shelved(t *testing.T, lots ...job.Lot) *night.Rules {
	t.Helper()
	r := nighttest.MoneyRules(t)
	r.Presses, r.House.Dies, r.House.Press.Lots = nil, nighttest.Dies(t), lots
	r.House.Press.Prices = &job.Prices{Currency: "EUR", WebPerM2: 0.4}
	return r
}

func lotOf200(material string, metres int, perM2 float64, rest bool) job.Lot {
	return job.Lot{Width: 200 * mm, Material: material, Length: geometry.Length(metres) * geometry.Metre, PerM2: perM2, Remainder: rest}
}

const shelfOrders = "order,quantity,label,material,inks\nA,9000,50x75mm,paper,\"C,M,Y,K\"\n"

// TestLotsCountAtTheirPrices: what a night's web costs is that of the lots it is cut
// from, the rests before the full rolls, and of both the cheapest first.
func TestLotsCountAtTheirPrices(t *testing.T) {
	for name, c := range map[string]struct {
		lots   []job.Lot
		prices []float64 // of the first 60 m, of the next 60, and of the rest
	}{
		"one":                        {[]job.Lot{lotOf200("paper", 0, 0, false)}, []float64{0.4, 0.4, 0.4}},
		"two of full rolls":          {[]job.Lot{lotOf200("paper", 0, 0.5, false), lotOf200("paper", 60, 0.3, false)}, []float64{0.3, 0.5, 0.5}},
		"a full roll as usual":       {[]job.Lot{lotOf200("paper", 60, 0.3, false), lotOf200("paper", 0, 0, false)}, []float64{0.3, 0.4, 0.4}},
		"but rests":                  {[]job.Lot{lotOf200("paper", 60, 0.1, true), lotOf200("paper", 0, 0.3, true)}, []float64{0.1, 0.3, 0.3}},
		"a rest of no price":         {[]job.Lot{lotOf200("paper", 60, 0, true), lotOf200("paper", 60, 0.1, true), lotOf200("paper", 0, 0, false)}, []float64{0.1, 0.4, 0.4}},
		"a rest before a full roll":  {[]job.Lot{lotOf200("paper", 60, 0.2, false), lotOf200("paper", 60, 0.3, true), lotOf200("paper", 0, 0, false)}, []float64{0.3, 0.2, 0.4}},
		"a rest that has no end":     {[]job.Lot{lotOf200("paper", 0, 0.1, true), lotOf200("paper", 0, 0, false)}, []float64{0.1, 0.1, 0.1}},
		"of other material, no part": {[]job.Lot{lotOf200("film", 60, 0.1, false), lotOf200("Paper", 0, 0, false)}, []float64{0.4, 0.4, 0.4}},
	} {
		r := shelved(t, c.lots...)
		p := made(t, nighttest.Orders(t, shelfOrders), r)
		if p.Total.WebM < 130 {
			t.Fatalf("%g m are too few", p.Total.WebM)
		}
		want := 100 * 0.2 * (60*c.prices[0] + 60*c.prices[1] + (p.Total.WebM-120)*c.prices[2])
		if got := float64(*p.Total.Money); got < want-0.51 || got > want+0.51 {
			t.Errorf("%s: %g, %g is right", name, got, want)
		}
	}
}

// TestLotsOfNoMaterialAreSharedOut: 300 m of no material in a width are no 300 m for each
// material that has none of its own.
func TestLotsOfNoMaterialAreSharedOut(t *testing.T) {
	orders := shelfOrders + "B,9000,50x75mm,film,\"C,M,Y,K\"\n"
	all := made(t, nighttest.Orders(t, orders), shelved(t, lotOf200("", 0, 0, false))).Total.WebM
	p := made(t, nighttest.Orders(t, orders), shelved(t, lotOf200("", int(all)-50, 0, false)))
	if p.Total.WebM > all-50 || nighttest.CodeOf(p.Unplanned, "A")+nighttest.CodeOf(p.Unplanned, "B") != night.NoWeb {
		t.Errorf("%g m of %d are printed on, left out %v", p.Total.WebM, int(all)-50, p.Unplanned)
	}
}

// TestOrdersThatLieOnNoWebInStock are left out: the house's web would do, and no more is
// to be had of it.
func TestOrdersThatLieOnNoWebInStock(t *testing.T) {
	p := made(t, nighttest.Orders(t, "order,quantity,label,material,inks\nA,9000,60x40mm,paper,\"C,M,Y,K\"\nB,9000,50x75mm,paper,\"C,M,Y,K\"\n"), shelved(t, lotOf200("paper", 0, 0, false)))
	if nighttest.CodeOf(p.Unplanned, "A") != night.NoWeb || len(runsOf(p, "B")) == 0 {
		t.Errorf("left out %v, %d runs", p.Unplanned, len(p.Runs))
	}
}

// TestBoundsKnowWhatLotsSave: each press saves by its own prices, and without end on a
// rest that has none.
func TestBoundsKnowWhatLotsSave(t *testing.T) {
	for _, metres := range []int{0, 100} {
		r := shelved(t, lotOf200("paper", metres, 0.3, true), lotOf200("paper", 0, 0, false))
		r.House.Press.Prices.WebPerM2 = 0.9
		p := made(t, nighttest.Orders(t, shelfOrders), r)
		saved := int64(0)
		for _, part := range p.Total.Parts {
			if part.Item == ItemRemainders {
				saved -= part.Money * grains
			}
		}
		if most := mostSaved(p); saved == 0 || most < saved-grains {
			t.Errorf("%d m: %d are saved, %d at most", metres, saved, most)
		}
	}
}
