package plan

import (
	"cmp"
	"math"
	"slices"

	"quoin/geometry/choose"
	"quoin/geometry/gang"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// mostKinds is of how many kinds of inks all mixes are listed.
const mostKinds = 6

// mixes lists the sets of inks that cells of the family may have; none where they
// are too many, or some rule says which orders share a run. The inks of each are
// beside them.
func (f *family) mixes(r *night.Rules) (out []choose.Mix, of [][]string) {
	if r.NoSplit || r.MostIn > 0 || len(r.Pins.Apart) > 0 || slices.ContainsFunc(f.orders, func(o *intake.Order) bool { return o.Order.NoSplit }) {
		return nil, nil
	}
	inks := make([][]string, slices.Max(f.kinds)+1)
	for i, k := range f.kinds {
		inks[k] = f.orders[i].PrintInks
	}
	if len(inks) > mostKinds {
		return nil, nil
	}
	seen := map[string]bool{}
	for set := 1; set < 1<<len(inks); set++ {
		var all []string
		for k := range inks {
			if set>>k&1 == 1 {
				all = union(all, inks[k])
			}
		}
		if key := inksKey(all); seen[key] {
			continue
		}
		seen[inksKey(all)] = true
		m := choose.Mix{Inks: len(all)}
		for k := range inks {
			m.Kinds = append(m.Kinds, len(union(all, inks[k])) == len(all))
		}
		out, of = append(out, m), append(of, all)
	}
	return out, of
}

// rolling is what rolls cost on a bed.
type rolling struct{ rows, roll, rest int64 }

// lanes returns what the rolls of the group's lanes cost; ok is false where they cost
// nothing, or that doesn't follow from single lanes.
func (w reeling) lanes() (x rolling, ok bool) {
	g, r := w.group, w.rules
	if r.By != night.Money || r.Mixed {
		return x, false
	}
	prices := pricesOf(g, r)
	_, x.rows = g.places(r)
	price := func(each float64) int64 { return int64(math.Round(each * unit(prices.Currency) * grains)) }
	x.roll, x.rest = price(prices.PerRoll), price(prices.PerPartRoll)
	return x, x.roll > 0 || x.rest > 0
}

// lane returns what the rolls of a lane cost, of so many labels each, in a run that
// is from low to high long, at least.
func (x *rolling) lane(each, low, high int64) int64 {
	if each == 0 {
		return 0
	}
	full := low * x.rows / each
	switch {
	case full*each == low*x.rows:
		return full * x.roll
	case high*x.rows >= (full+1)*each:
		return (full + 1) * x.roll
	}
	return (full+1)*x.roll + x.rest
}

func spliced(o *intake.Order, r *night.Rules) bool {
	may := cmp.Or(o.Splices, r.House.Roll.Splices)
	return may != nil && *may
}

// laneCost says what the rolls of a lane cost; nil where that doesn't matter. The
// rests of lanes that may be spliced to rolls are left out. It is for one search at a
// time.
func (f *family) laneCost(r *night.Rules) func(bed, order int, low, high int64) int64 {
	var list []rolling
	any := false
	for _, w := range f.beds {
		x, ok := reeling{w.best, r}.lanes()
		if w.best.roll > 0 { // whole rolls
			return nil
		}
		list, any = append(list, x), any || ok
	}
	if !any || slices.ContainsFunc(f.orders, func(o *intake.Order) bool { return spliced(o, r) }) {
		return nil
	}
	// The search asks for the same lengths again for one order after the other, which have
	// few sizes of rolls among them.
	type answer struct {
		bed             int
		low, high, cost int64
	}
	known, of := map[int64]*answer{}, make([]*answer, len(f.orders))
	for i, o := range f.orders {
		if known[o.PerRoll] == nil {
			known[o.PerRoll] = &answer{bed: -1}
		}
		of[i] = known[o.PerRoll]
	}
	return func(bed, order int, low, high int64) int64 {
		a := of[order]
		if a.bed != bed || a.low != low || a.high != high {
			*a = answer{bed, low, high, list[bed].lane(f.orders[order].PerRoll, low, high)}
		}
		return a.cost
	}
}

// of returns what the rolls of a plan of the group cost.
func (w reeling) of(p *gang.Plan) (sum int64) {
	g, r := w.group, w.rules
	if r.Mixed {
		return sorter{g, r}.of(p)
	}
	x, ok := w.lanes()
	if !ok || g.roll > 0 || slices.ContainsFunc(g.orders, func(o *intake.Order) bool { return spliced(o, r) }) {
		return 0
	}
	for _, run := range p.Runs {
		for _, s := range run.Shares {
			sum += s.Lanes * x.lane(g.orders[s.Order].PerRoll, run.Length, run.Length)
		}
	}
	return sum
}

// leastRolls is what the rolls of the family's orders cost at least, as the night's
// bound counts them; 0 where lanes say nothing of it.
func (f *family) leastRolls(r *night.Rules) (sum int64) {
	if f.laneCost(r) == nil {
		return 0
	}
	for _, o := range f.orders {
		most := int64(0)
		for _, w := range f.beds {
			if o.PerRoll > 0 {
				most = max(most, rollsCost(o, pricesOf(w.best, r)))
			}
		}
		sum += most
	}
	return sum
}
