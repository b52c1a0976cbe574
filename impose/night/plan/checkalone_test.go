package plan

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"quoin/geometry"
	"quoin/impose/job"
)

// aloneBed is an order in a run of its own, and what that costs.
type aloneBed struct {
	run   seenRun
	cents float64
}

// aloneRow checks what a run for each order would cost: each where that is least, like
// runs one after the other on each press, by material, web, die and inks. Stock that is
// limited is left to others, and so are mixed lanes. Where a bed costs as much as another,
// either will do, and what changes between the runs is not known.
func (c *nightCheck) aloneRow() {
	a, seen := *c, *c.seenNight
	a.seenNight, a.list, seen.Groups = &seen, nil, nil
	printed := map[string]bool{}
	for i := range c.Runs {
		for _, o := range c.Runs[i].Orders {
			printed[o.Order] = true
		}
	}
	var beds []aloneBed
	for _, id := range slices.Sorted(maps.Keys(printed)) {
		best, tied := aloneBed{cents: math.Inf(1)}, false
		for _, name := range slices.Sorted(maps.Keys(c.presses)) {
			p := c.presses[name]
			if len(p.Lots) > 0 || c.rules.Mixed {
				return
			}
			for _, web := range p.Webs {
				for i := range c.dies.Dies {
					for _, whole := range []bool{false, true} {
						bed := a.bedAlone(c.all[id], p, web, &c.dies.Dies[i], whole)
						even := math.Abs(bed.cents-best.cents) < 0.01 && (bed.run.Press != best.run.Press || bed.run.WebMM != best.run.WebMM || bed.run.Die != best.run.Die)
						if bed.cents < best.cents {
							tied = tied && even
							best = bed
						}
						tied = tied || even
					}
				}
			}
		}
		if math.IsInf(best.cents, 1) {
			c.fault("%s is printed, and nowhere alone", id)
			return
		}
		if tied {
			return
		}
		beds = append(beds, best)
	}
	slices.SortStableFunc(beds, func(x, y aloneBed) int {
		g, h := &a.Groups[x.run.Group-1], &a.Groups[y.run.Group-1]
		return cmp.Or(cmp.Compare(g.Press, h.Press), cmp.Compare(g.Material, h.Material), cmp.Compare(g.WebMM, h.WebMM),
			cmp.Compare(g.Die, h.Die), cmp.Compare(len(g.Inks), len(h.Inks)), slices.Compare(g.Inks, h.Inks))
	})
	sum := 0.0
	var before *seenRun
	for i := range beds {
		run := &beds[i].run
		sum += beds[i].cents
		if before != nil && before.Press == run.Press {
			for _, x := range a.changes(run, before) {
				sum += c.units * x
			}
		}
		before = run
	}
	c.same("every order alone", float64(c.Alone.Money), sum, 1)
	c.list = append(c.list, a.list...)
}

// bedAlone lays an order alone on a bed, its rolls cut anywhere or each beginning with a
// new repeat; it costs more than all others where that can't be.
func (c *nightCheck) bedAlone(x *job.Order, p *job.Press, web geometry.Length, d *geometry.Die, whole bool) aloneBed {
	never := aloneBed{cents: math.Inf(1)}
	across := geometry.Length(d.Lanes)*d.Size.Across + geometry.Length(d.Lanes-1)*d.Gap.Across
	pitch := geometry.Length(d.Rows) * (d.Size.Around + d.Gap.Around)
	times, each, taken := p.LongestFrame/pitch, x.LabelsPerRoll, int64(math.MaxInt64)
	if overs := cmp.Or(x.Overs, c.rules.Overs); overs != nil && !c.rules.Scrap {
		taken = x.Quantity + int64(float64(x.Quantity)*overs.Float()+1e-6)
	}
	if d.Size != x.Label || web < p.WebMin || web > p.WebMax || across > web-2*(p.Edge+*p.TargetLane) || len(x.Inks) > p.Stations || times == 0 ||
		whole && (each == 0 || (x.Quantity+each-1)/each*each > taken) {
		return never
	}
	inks := slices.Sorted(slices.Values(x.Inks))
	c.Groups = append(c.Groups, seenGroup{Press: p.Name, Material: x.Material, WebMM: web.MM(), Die: d.Number, Inks: inks})
	run := seenRun{Press: p.Name, Group: len(c.Groups), Rows: int(times) * d.Rows, Lanes: d.Lanes, Repeat: (times * pitch).MM(), WebMM: web.MM(), Die: d.Number}
	rows := int64(run.Rows)
	strips, step := (x.Quantity+rows-1)/rows, int64(1) // frames of one lane
	if whole {
		step = (each + rows - 1) / rows
		strips = (x.Quantity + each - 1) / each * step
	}
	for lanes := int64(1); lanes <= int64(d.Lanes); lanes++ {
		frames := ((strips+lanes-1)/lanes + step - 1) / step * step
		if (lanes*frames <= strips || lanes*frames*rows <= taken) && (run.Frames == 0 || frames < run.Frames) {
			run.Frames = frames
		}
	}
	bed := aloneBed{run: run}
	for _, v := range c.items(&run, float64(run.Frames)*run.Repeat/1000) {
		bed.cents += c.units * v
	}
	lanes, perLane := (strips+run.Frames-1)/run.Frames, run.Frames*rows
	made, rolls, parts, joints := lanes*perLane, int64(0), int64(0), int64(0)
	switch may := cmp.Or(x.Splices, c.rules.House.Roll.Splices); {
	case whole:
		rolls = lanes * (run.Frames / step)
		made = rolls * each
	case each > 0 && may != nil && *may:
		rolls, parts, joints = spliceRests(lanes, perLane%each, each)
		rolls += lanes * (perLane / each)
	case each > 0:
		rolls = lanes * (perLane / each)
		if perLane%each > 0 {
			parts = lanes
		}
	}
	bed.cents += c.units * (float64(rolls+parts)*p.Prices.PerRoll + float64(parts)*p.Prices.PerPartRoll + float64(joints)*p.Prices.PerSplice + float64(made-x.Quantity)*p.Prices.PerOver)
	return bed
}
