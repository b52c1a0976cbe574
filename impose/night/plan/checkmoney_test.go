package plan

import (
	"maps"
	"slices"

	"quoin/impose/night"
)

// smallest is how many of its smallest units the currency has: a yen has none, a dinar of
// Kuwait a thousand (ISO 4217, from memory).
func smallest(r *night.Rules) float64 {
	return map[string]float64{"JPY": 1, "KRW": 1, "KWD": 1000, "EUR": 100, "USD": 100}[r.House.Press.Prices.Currency]
}

// changed is what passes between two runs of a press: its minutes, those of each kind,
// and whether the die changes.
func (c *nightCheck) changed(run, before *seenRun) (all, material, web, inks float64, die bool) {
	if before == nil {
		return 0, 0, 0, 0, false
	}
	a, b, x := &c.Groups[before.Group-1], &c.Groups[run.Group-1], c.presses[run.Press].Changes
	if a.Material != b.Material {
		material = x.Material
	} else if a.WebMM != b.WebMM {
		web = x.Web
	}
	for _, ink := range b.Inks {
		if !slices.Contains(a.Inks, ink) {
			inks += x.Ink
		}
	}
	return material + web + inks, material, web, inks, a.Die != b.Die
}

// standing is how many minutes a metre of web stands for new rolls.
func (c *nightCheck) standing(run *seenRun) float64 {
	switch u := c.presses[run.Press].Unwinder; {
	case u.NonStop:
		return 0
	case u.MasterRoll > 0:
		return u.RollChange / u.MasterRoll.Metres()
	default: // as many minutes as non-stop would save in an hour
		return u.SavedPerHour / 60 / c.speed(run)
	}
}

// items is what a run of so many metres costs by item, but for its labels and rolls and
// for what changes before it.
func (c *nightCheck) items(run *seenRun, net float64) map[string]float64 {
	p := c.presses[run.Press]
	gross := c.gross(run)
	perM := c.webPrice(run) * run.WebMM / 1000
	wasted := net * p.RunWaste.Float()
	cut, wear := 0.0, 0.0
	if line := p.Finishing; line.DieCutting > 0 {
		cut = gross/line.DieCutting.Metres() + line.SetupMin
	}
	for _, part := range p.Consumables {
		wear += gross / part.Life.Metres() * part.Price
	}
	setup := gross - net - wasted
	minute, finish := p.Prices.PressPerHour/60, p.Prices.FinishPerHour/60
	return map[string]float64{
		"web": net * perM, "run waste": wasted * perM, "make-ready": setup * perM,
		"ink":       net * run.WebMM / 1000 * p.Prices.InkPerM2 * c.inks(run),
		"press":     (net + wasted) / c.speed(run) * minute,
		"set-up":    (setup/c.speed(run)+p.SetupMin+p.InkSetupMin*c.inks(run))*minute + p.Prices.PerSetup,
		"unwinder":  gross * c.standing(run) * minute,
		"finishing": cut * finish, "consumables": wear,
	}
}

// changes is what changes before a run cost, by item.
func (c *nightCheck) changes(run, before *seenRun) map[string]float64 {
	p := c.presses[run.Press]
	minute := p.Prices.PressPerHour / 60
	_, material, web, inks, die := c.changed(run, before)
	out := map[string]float64{"material change": material * minute, "web change": web * minute, "ink change": inks * minute}
	if die {
		out["die change"] = p.Changes.Die * p.Prices.FinishPerHour / 60
	}
	return out
}

// money checks each item of the run's bill but rolls and overs, which come of the shares.
func (c *nightCheck) money(run, before *seenRun) {
	want := c.items(run, run.Net)
	maps.Copy(want, c.changes(run, before))
	want["remainders"] = -c.saves(run)
	paid, sum := map[string]int64{}, int64(0)
	for _, part := range run.Parts {
		paid[part.Item] += part.Money
		sum += part.Money
	}
	if sum != run.Money {
		c.fault("%s: items are %d, the run %d", run.Name, sum, run.Money)
	}
	for _, item := range slices.Sorted(maps.Keys(want)) {
		c.same(run.Name+": "+item, float64(paid[item]), c.units*want[item], 1.01)
		delete(paid, item)
	}
	for _, item := range []string{"rolls", "part rolls", "overs", "splices", "sorting"} {
		delete(paid, item)
	}
	if len(paid) > 0 {
		c.fault("%s pays for %v", run.Name, paid)
	}
}
