package plan

import (
	"math/rand/v2"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/job"
	"quoin/impose/night"
)

// stocked puts web on the shelves of a press: of each material in each width full rolls,
// now and then at a price of their own or too few, and rests at any price or none.
func stocked(rng *rand.Rand, p *job.Press) {
	metres := func() geometry.Length { return geometry.Length(50+rng.IntN(900)) * geometry.Metre }
	for _, material := range [][]string{{"paper", "film"}, {"paper", ""}, {""}}[rng.IntN(3)] {
		for _, width := range p.Webs {
			lot := job.Lot{Material: material, Width: width}
			price := func(of ...float64) float64 { return of[rng.IntN(len(of))] }
			if rng.IntN(4) == 0 {
				lot.PerM2 = price(0.2, 0.3, 0.6)
			}
			if rng.IntN(3) == 0 {
				lot.Length = metres()
			}
			if rng.IntN(6) > 0 {
				p.Lots = append(p.Lots, lot)
			}
			if rng.IntN(5) == 0 { // a second of another price
				lot.PerM2, lot.Length = price(0, 0.25, 0.7), metres()
				p.Lots = append(p.Lots, lot)
			}
			for range rng.IntN(3) {
				lot.PerM2, lot.Length, lot.Remainder = price(0, 0.1, 0.15, 0.3, 0.9), metres()/4, true
				if rng.IntN(12) == 0 {
					lot.Length = 0
				}
				p.Lots = append(p.Lots, lot)
			}
		}
	}
}

// oddPrices gives a press prices as no press in these tests has them.
func oddPrices(rng *rand.Rand, p *job.Press) {
	x := p.Prices
	for _, price := range []*float64{&x.WebPerM2, &x.InkPerM2, &x.PressPerHour, &x.FinishPerHour, &x.PerSetup, &x.PerRoll, &x.PerPartRoll, &x.PerOver, &x.PerSplice} {
		switch rng.IntN(5) {
		case 0:
			*price = 0
		case 1:
			*price *= 3
		}
	}
	x.PerSetup += 0.5 // something has a price
	if rng.IntN(3) == 0 {
		x.Materials = nil
	}
	switch rng.IntN(4) {
	case 0:
		p.Unwinder.NonStop = true
	case 1:
		p.Unwinder.MasterRoll, p.Unwinder.SavedPerHour = 0, 4
	}
	if rng.IntN(3) == 0 {
		p.Consumables = []job.Consumable{{Name: "blanket", Life: 40_000 * geometry.Metre, Price: 300}}
	}
	if rng.IntN(4) == 0 {
		p.Finishing.DieCutting = 0
	}
	p.RunWaste, p.SetupMin, p.InkSetupMin = geometry.Share(rng.IntN(6))*geometry.Percent, float64(rng.IntN(9)), float64(rng.IntN(3))/2
	if rng.IntN(4) == 0 {
		p.Changes = job.Changes{}
	}
}

// odd draws a night whose presses have web in stock, odd prices, or another currency.
func odd(t testing.TB, seed uint64) ([]job.Order, *night.Rules) {
	t.Helper()
	all, r := wished(t, seed)
	rng := rand.New(rand.NewPCG(seed, 53))
	currency, times := "EUR", 1.0
	if seed%3 == 2 {
		currency, times = []string{"JPY", "KWD", "KRW", "USD"}[rng.IntN(4)], []float64{1, 0.1, 150}[rng.IntN(3)]
	}
	for _, p := range []*job.Press{r.House.Press, r.Presses[0]} {
		if seed%5 < 3 {
			stocked(rng, p)
		}
		if seed%5 > 1 {
			oddPrices(rng, p)
		}
		x := p.Prices
		x.Currency = currency
		for _, price := range []*float64{&x.WebPerM2, &x.InkPerM2, &x.PressPerHour, &x.FinishPerHour, &x.PerSetup, &x.PerRoll, &x.PerPartRoll, &x.PerOver, &x.PerSplice, &x.PerSorted} {
			*price *= times
		}
		for i := range x.Materials {
			x.Materials[i].WebPerM2 *= times
		}
		for i := range p.Lots {
			p.Lots[i].PerM2 *= times
		}
	}
	return all, r
}

// TestEveryOddNightIsRight proves nights of odd presses from their JSON.
func TestEveryOddNightIsRight(t *testing.T) {
	first := trials.Number(t, "QUOIN_ODD_FROM", 0, 0)
	for seed := first; seed < first+trials.Number(t, "QUOIN_ODD", 15, 100); seed++ {
		all, r := odd(t, uint64(seed))
		proveDrawn(t, uint64(seed), all, r)
	}
}
