package job

import (
	"slices"

	"quoin/geometry"
)

// ReadPress reads a press file. Its faults come as one *FileError, beside a
// press that holds whatever could be read.
func ReadPress(path string) (*Press, error) {
	data, err := load(path, maxJobBytes)
	if err != nil {
		return nil, err
	}
	return ParsePress(path, data)
}

// ParsePress is ReadPress for a file that is in memory already.
func ParsePress(path string, data []byte) (*Press, error) {
	p := &Press{Finishing: Finishing{EdgeMatrix: geometry.EdgeMatrix}}
	r := newReader(path, data)
	r.begin(&p.source, place{1, 1}, len(pressKeys))
	if root, ok := r.root(); ok {
		readMap(root, p, pressKeys)
		p.check(root)
	}
	return p, r.err()
}

var pressKeys = []field[Press]{
	{key: "name", need: true, read: func(p *Press, v value) { v.str(&p.Name) }},
	{key: "web-min", read: func(p *Press, v value) { v.length(&p.WebMin, positive) }},
	{key: "web-max", need: true, read: func(p *Press, v value) { v.length(&p.WebMax, positive) }},
	{key: "edge", need: true, read: func(p *Press, v value) { v.length(&p.Edge, notNegative) }},
	{key: "target-lane", read: func(p *Press, v value) { v.maybeLength(&p.TargetLane, notNegative) }},
	{key: "frame-max", need: true, read: func(p *Press, v value) { v.length(&p.LongestFrame, positive) }},
	{key: "stations", need: true, read: func(p *Press, v value) { count(v, &p.Stations, 1, maxStations) }},
	{key: "speeds", need: true, read: readSpeeds},
	{key: "setup", need: true, read: func(p *Press, v value) { v.length(&p.Setup, notNegative) }},
	{key: "setup-time", read: func(p *Press, v value) { minutes.read(v, &p.SetupMin) }},
	{key: "setup-per-ink", read: func(p *Press, v value) { v.length(&p.InkSetup, notNegative) }},
	{key: "setup-time-per-ink", read: func(p *Press, v value) { minutes.read(v, &p.InkSetupMin) }},
	{key: "run-waste", need: true, read: func(p *Press, v value) { v.share(&p.RunWaste, 0, geometry.Whole) }},
	{key: "consumables", read: func(p *Press, v value) { readItems(v, &p.Consumables, consumableKeys) }},
	{key: "unwinder", read: func(p *Press, v value) { readMap(v, &p.Unwinder, unwinderKeys) }},
	{key: "finishing", read: func(p *Press, v value) { readMap(v, &p.Finishing, finishingKeys) }},
	{key: "resolution", read: func(p *Press, v value) { readMap(v, &p.Resolution, resolutionKeys) }},
	{key: "stock", read: func(p *Press, v value) { readMap(v, &p.Stock, stockKeys) }},
	{key: "webs", read: func(p *Press, v value) { readWebs(v, &p.Webs) }},
	{key: "in-stock", read: func(p *Press, v value) { readItems(v, &p.Lots, lotKeys) }},
	{key: "changes", read: func(p *Press, v value) { readMap(v, &p.Changes, changeKeys) }},
	{key: "shifts", read: readShifts},
	{key: "ink-use", read: func(p *Press, v value) { inkFigures(v, &p.InkUse, gramsPerM2.read) }},
	{key: "fine-text", read: func(p *Press, v value) { v.length(&p.FineText, positive) }},
	{key: "fine-line", read: func(p *Press, v value) { v.length(&p.FineLine, positive) }},
	{key: "from-cut", read: func(p *Press, v value) { v.maybeLength(&p.FromCut, notNegative) }},
	{key: "ink-limit", read: func(p *Press, v value) { v.inkLimit(&p.InkLimit) }},
	{key: "prices", read: func(p *Press, v value) {
		optional(&p.Prices, func(x *Prices) { readMap(v, x, priceKeys) })
	}},
}

const (
	maxStations = 100
	mostInk     = 20 * geometry.Whole
)

func readSpeeds(p *Press, v value) {
	if v.isList() && len(v.node.Content) == 0 {
		v.fault("holds no step", "write at least one, as in {inks: 6, speed: 120m/min}")
	}
	v.each(func(item value) {
		var s SpeedStep
		item.note()
		readMap(item, &s, speedKeys)
		if n := len(p.Speeds); n > 0 && s.Inks > 0 && s.Inks <= p.Speeds[n-1].Inks {
			item.fault("takes no more inks than the step before", "write the steps from few inks to many")
			return
		}
		p.Speeds = append(p.Speeds, s)
	})
}

var speedKeys = []field[SpeedStep]{
	{key: "inks", need: true, read: func(s *SpeedStep, v value) { count(v, &s.Inks, 1, maxStations) }},
	{key: "speed", need: true, read: func(s *SpeedStep, v value) { parse(v, &s.PerMinute, parseSpeed) }},
}

func readWebs(v value, x *[]geometry.Length) {
	v.each(func(item value) {
		var l geometry.Length
		if item.length(&l, positive); l > 0 {
			*x = append(*x, l)
		}
	})
}

var consumableKeys = []field[Consumable]{
	{key: "name", need: true, read: func(c *Consumable, v value) { v.str(&c.Name) }},
	{key: "life", need: true, read: func(c *Consumable, v value) { v.length(&c.Life, positive) }},
	{key: "price", read: func(c *Consumable, v value) { amount("").read(v, &c.Price) }},
}

var unwinderKeys = []field[Unwinder]{
	{key: "non-stop", read: func(u *Unwinder, v value) { v.flag(&u.NonStop) }},
	{key: "roll-change", read: func(u *Unwinder, v value) { minutes.read(v, &u.RollChange) }},
	{key: "saves", read: func(u *Unwinder, v value) { minutesPerHour.read(v, &u.SavedPerHour) }},
	{key: "master-roll", read: func(u *Unwinder, v value) { v.length(&u.MasterRoll, positive) }},
}

var resolutionKeys = []field[Resolution]{
	{key: "device", need: true, read: func(r *Resolution, v value) { readDevice(v, &r.Device, &r.Around) }},
	{key: "enough", read: func(r *Resolution, v value) { readDPI(v, &r.Enough) }},
}

var stockKeys = []field[StockRange]{
	{key: "thinnest", need: true, read: func(s *StockRange, v value) { v.thickness(&s.Thinnest) }},
	{key: "thickest", need: true, read: func(s *StockRange, v value) { v.thickness(&s.Thickest) }},
}

var priceKeys = []field[Prices]{
	{key: "currency", need: true, read: func(p *Prices, v value) { v.str(&p.Currency) }},
	{key: "web", read: func(p *Prices, v value) { amount("/m2").read(v, &p.WebPerM2) }},
	{key: "press", read: func(p *Prices, v value) { amount("/h").read(v, &p.PressPerHour) }},
	{key: "finishing", read: func(p *Prices, v value) { amount("/h").read(v, &p.FinishPerHour) }},
	{key: "setup", read: func(p *Prices, v value) { amount("").read(v, &p.PerSetup) }},
	{key: "tool", read: func(p *Prices, v value) { amount("").read(v, &p.NewTool) }},
	{key: "tools", read: readToolPrices},
	{key: "materials", read: func(p *Prices, v value) { readItems(v, &p.Materials, materialPriceKeys) }},
	{key: "ink-area", read: func(p *Prices, v value) { amount("/m2").read(v, &p.InkPerM2) }},
	{key: "ink", read: func(p *Prices, v value) {
		inkFigures(v, &p.InkPerKg, func(v value, x *float64) { amount("/kg").read(v, x) })
	}},
	{key: "roll", read: func(p *Prices, v value) { amount("").read(v, &p.PerRoll) }},
	{key: "part-roll", read: func(p *Prices, v value) { amount("").read(v, &p.PerPartRoll) }},
	{key: "splice", read: func(p *Prices, v value) { amount("").read(v, &p.PerSplice) }},
	{key: "overs", read: func(p *Prices, v value) {
		amount("/1000").read(v, &p.PerOver)
		p.PerOver /= 1000
	}},
	{key: "sorting", read: func(p *Prices, v value) {
		amount("/1000").read(v, &p.PerSorted)
		p.PerSorted /= 1000
	}},
}

var materialPriceKeys = []field[MaterialPrice]{
	{key: "material", need: true, read: func(m *MaterialPrice, v value) { v.str(&m.Material) }},
	{key: "web", need: true, read: func(m *MaterialPrice, v value) { amount("/m2").read(v, &m.WebPerM2) }},
}

var toolPriceKeys = []field[ToolPrice]{
	{key: "station", read: func(t *ToolPrice, v value) {
		oneOf(v, &t.Station, geometry.FullRotary, geometry.SemiRotary, geometry.FlatBed)
	}},
	{key: "outline", read: func(t *ToolPrice, v value) { v.flag(&t.Outline) }},
	{key: "price", need: true, read: func(t *ToolPrice, v value) { amount("").read(v, &t.Price) }},
}

// readToolPrices reads prices of tools that differ from the usual one, each for a
// station, for irregular outlines, or both.
func readToolPrices(p *Prices, v value) {
	before := len(v.reader.faults)
	readItems(v, &p.NewTools, toolPriceKeys)
	if len(v.reader.faults) > before {
		return // of what is misspelt nothing more is known
	}
	for i, t := range p.NewTools {
		same := slices.ContainsFunc(p.NewTools[:i], func(x ToolPrice) bool { return x.Station == t.Station && x.Outline == t.Outline })
		switch {
		case t.Station == "" && !t.Outline:
			v.fault("has a price for no kind of tool", "say its station (full-rotary, semi-rotary or flat-bed), or outline: true, or the price of any tool as tool")
		case same:
			v.fault("has two prices for one kind of tool", "keep one of them")
		}
	}
}

var lotKeys = []field[Lot]{
	{key: "width", need: true, read: func(l *Lot, v value) { v.length(&l.Width, positive) }},
	{key: "material", read: func(l *Lot, v value) { v.str(&l.Material) }},
	{key: "length", read: func(l *Lot, v value) { v.length(&l.Length, positive) }},
	{key: "price", read: func(l *Lot, v value) { amount("/m2").read(v, &l.PerM2) }},
	{key: "remainder", read: func(l *Lot, v value) { v.flag(&l.Remainder) }},
}

var changeKeys = []field[Changes]{
	{key: "material", read: func(c *Changes, v value) { minutes.read(v, &c.Material) }},
	{key: "web", read: func(c *Changes, v value) { minutes.read(v, &c.Web) }},
	{key: "ink", read: func(c *Changes, v value) { minutes.read(v, &c.Ink) }},
	{key: "die", read: func(c *Changes, v value) { minutes.read(v, &c.Die) }},
}

// readShifts reads the hours of a press. They follow one another through the
// night, so that each begins where the one before has ended, or later.
func readShifts(p *Press, v value) {
	v.each(func(item value) {
		var s Shift
		item.note()
		readMap(item, &s, shiftKeys)
		if n := len(p.Shifts); n > 0 {
			first := p.Shifts[0].From
			end := p.Shifts[n-1].From + p.Shifts[n-1].Minutes()
			if s.From < first {
				s.From, s.To = s.From+minutesOfDay, s.To+minutesOfDay
			}
			if s.From < end || s.From+s.Minutes() > first+minutesOfDay {
				item.fault("overlaps another shift", "write the shifts of one night in their order, 24 hours at most")
				return
			}
		}
		p.Shifts = append(p.Shifts, s)
	})
}

var shiftKeys = []field[Shift]{
	{key: "from", need: true, read: func(s *Shift, v value) { parse(v, &s.From, parseClock) }},
	{key: "to", need: true, read: func(s *Shift, v value) { parse(v, &s.To, parseClock) }},
}

// check compares what several keys say.
func (p *Press) check(v value) {
	if p.WebMin > p.WebMax && p.WebMax > 0 {
		v.contradiction("web-min", "is wider than web-max, "+p.WebMax.String(), "")
	}
	if 2*p.Edge >= p.WebMax && p.WebMax > 0 {
		v.contradiction("edge", "two edges leave nothing of a web of "+p.WebMax.String(), "")
	}
	if n := len(p.Speeds); n > 0 && p.Stations > 0 && p.Speeds[n-1].Inks > p.Stations {
		v.contradiction("speeds", "the last step takes more inks than there are stations", "")
	}
	if p.Prices != nil && p.Prices.InkPerKg.Known() && !p.InkUse.Known() {
		v.contradiction("prices.ink", "the ink has a price and no use", "say what a solid takes, as in ink-use: 1.2g/m2")
	}
	if p.Stock.Thinnest > p.Stock.Thickest && p.Stock.Thickest > 0 {
		v.contradiction("stock.thinnest", "is thicker than thickest, "+p.Stock.Thickest.String(), "")
	}
}
