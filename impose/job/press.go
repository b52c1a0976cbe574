package job

import (
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/impose/say"
)

// Press is what a press file describes once for all jobs.
type Press struct {
	Name         string
	WebMin       geometry.Length // narrowest web
	WebMax       geometry.Length // widest web
	Edge         geometry.Length // unprintable at each side
	TargetLane   *geometry.Length
	LongestFrame geometry.Length
	Stations     int // inks that one pass can print
	Speeds       []SpeedStep
	Setup        geometry.Length // make-ready: web spent before the first good label
	SetupMin     float64         // minutes of make-ready beside the web that it takes
	InkSetup     geometry.Length // make-ready that each ink's station adds
	InkSetupMin  float64         // minutes that each ink's station adds beside that web
	RunWaste     geometry.Share  // of the net web
	Consumables  []Consumable
	Unwinder     Unwinder
	Finishing    Finishing
	Resolution   Resolution
	Stock        StockRange
	Webs         []geometry.Length // widths in stock; none: any
	Lots         []Lot             // rolls in stock; a material that has some is printed on nothing else
	Changes      Changes           // what a run costs that differs from the one before
	Shifts       []Shift           // hours of the press in each night; none: round the clock
	InkUse       InkFigures        // what a solid takes, in g/m2
	FineText     geometry.Length   // type below it should stand in one ink; 0: unknown
	FineLine     geometry.Length   // lines likewise
	FromCut      *geometry.Length  // least distance of text, bars and lines from the cut; nil: unknown
	InkLimit     geometry.Share    // most that the inks may add up to; 0: unknown
	Prices       *Prices           // nil when the file has none

	source source
}

// SpeedStep is the web's speed with up to so many inks.
type SpeedStep struct {
	Inks      int
	PerMinute geometry.Length
}

// Consumable is a part that wears with the metres printed.
type Consumable struct {
	Name  string
	Life  geometry.Length
	Price float64 // of one, in the currency of the prices; 0: unknown
}

// Unwinder tells what a change of the master roll costs.
type Unwinder struct {
	NonStop      bool
	RollChange   float64         // minutes that the web stands for one change without non-stop
	SavedPerHour float64         // minutes that non-stop saves in an hour of running
	MasterRoll   geometry.Length // usual length of a master roll; 0: unknown
}

// Finishing describes the finishing line.
type Finishing struct {
	DieCutting geometry.Length // speed, web per minute
	Other      geometry.Length // speed of slitting and rewinding without a die
	SetupMin   float64
	Windings   int                   // how often a web is wound up on its way through the house; 0: the job says
	Stations   []geometry.DieStation // none: any die is taken
	Cylinders  []geometry.Cylinder   // that new tools can be made for
	Stripping  []geometry.Stripping  // by material
	EdgeMatrix geometry.Length       // least matrix at each edge of the web
	// UnusedLanes lets dies that are wider than the web cut on fewer lanes.
	UnusedLanes bool
}

// Resolution is in dots per inch.
type Resolution struct {
	Device int // what the press writes, across the web
	Around int // along its travel
	Enough int // what most labels need of their images; 0: as the device
}

// StockRange holds the calipers that the press runs.
type StockRange struct{ Thinnest, Thickest geometry.Length }

// Lot is web of one width and material in stock.
type Lot struct {
	Width     geometry.Length
	Material  string          // empty: any that has no lot of its own
	Length    geometry.Length // in all; 0: no end of it
	PerM2     float64         // its price; 0: as the material's
	Remainder bool            // rests of rolls, to be used up first
}

// Changes are the minutes that pass between two runs that differ: of the press,
// and for the die of the finishing line.
type Changes struct {
	Material float64 // another material
	Web      float64 // the same material in another width
	Ink      float64 // each ink that the run before had not
	Die      float64
}

// Shift is a span of hours, in minutes from midnight. One that ends no later than
// it begins ends on the next day.
type Shift struct{ From, To int }

// Minutes returns how long the shift lasts.
func (s Shift) Minutes() int {
	if s.To <= s.From {
		return s.To + minutesOfDay - s.From
	}
	return s.To - s.From
}

const minutesOfDay = 24 * 60

// Prices turn a run into money.
type Prices struct {
	Currency      string
	WebPerM2      float64 // material
	Materials     []MaterialPrice
	InkPerM2      float64 // of each printing ink, on a square metre of printed web
	PressPerHour  float64
	FinishPerHour float64
	PerSetup      float64
	NewTool       float64 // one new cutting tool; 0: unknown
	NewTools      []ToolPrice
	PerRoll       float64 // each finished roll that is made ready
	PerPartRoll   float64 // each that is not full, beside that
	PerSplice     float64 // each rest of a lane that is joined to another
	PerOver       float64 // each label beyond the order
	PerSorted     float64 // each label of a lane that holds several orders
	InkPerKg      InkFigures
}

// Any reports whether anything that a run takes has a price: a currency alone, or
// what a new tool costs, tells no run from another.
func (p *Prices) Any() bool {
	for _, x := range []float64{p.WebPerM2, p.InkPerM2, p.PressPerHour, p.FinishPerHour, p.PerSetup, p.PerRoll, p.PerPartRoll, p.PerSplice, p.PerOver, p.PerSorted} {
		if x > 0 {
			return true
		}
	}
	return p.InkPerKg.Known() || slices.ContainsFunc(p.Materials, func(m MaterialPrice) bool { return m.WebPerM2 > 0 })
}

// ToolPrice is that of a new cutting tool where it is not the usual one.
type ToolPrice struct {
	Station geometry.StationKind // empty: any
	Outline bool                 // that cuts an irregular outline; false: any other
	Price   float64
}

// Tool returns what a new cutting tool of a kind and shape costs: as the price of its
// station and shape, else of one of them, else of any tool. 0: unknown.
func (p *Prices) Tool(kind geometry.StationKind, shape geometry.Shape) float64 {
	price, closest := p.NewTool, 0
	for _, t := range p.NewTools {
		if t.Station != "" && t.Station != kind || t.Outline && shape != geometry.ShapeOutline {
			continue
		}
		near := 0
		if t.Station != "" {
			near++
		}
		if t.Outline {
			near += 2
		}
		if near > closest {
			price, closest = t.Price, near
		}
	}
	return price
}

// MaterialPrice is that of a material where it is not the usual one.
type MaterialPrice struct {
	Material string
	WebPerM2 float64
}

// Web returns the price of a square metre of a material.
func (p *Prices) Web(material string) float64 {
	for _, m := range p.Materials {
		if sameMaterial(m.Material, material) {
			return m.WebPerM2
		}
	}
	return p.WebPerM2
}

func sameMaterial(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}

// LotsOf returns the lots that a material is printed from; none where the press
// file keeps no account of it.
func (p *Press) LotsOf(material string) []*Lot {
	var own, free []*Lot
	for i := range p.Lots {
		l := &p.Lots[i]
		switch {
		case l.Material == "":
			free = append(free, l)
		case sameMaterial(l.Material, material):
			own = append(own, l)
		}
	}
	if len(own) > 0 {
		return own
	}
	return free
}

// Speed returns the web's length per minute with so many printing inks. More
// inks than stations, or than the last step takes, are refused.
func (p *Press) Speed(inks int) (geometry.Length, error) {
	most := p.Stations
	for _, s := range p.Speeds {
		if inks <= s.Inks && (most == 0 || inks <= most) {
			return s.PerMinute, nil
		}
	}
	if n := len(p.Speeds); n > 0 && (most == 0 || p.Speeds[n-1].Inks < most) {
		most = p.Speeds[n-1].Inks
	}
	return 0, say.Refuse(say.Inks, "alias spots that are the same ink, silence technical ones, or convert spots to process before imposing",
		"%d printing inks are more than the %d that %s takes", inks, most, p.Name)
}

// At returns where the value of a key stands in the press file.
func (p *Press) At(key string) Position { return p.source.at(key) }

// Takes reports whether a web of a width runs on the press.
func (p *Press) Takes(web geometry.Length) bool {
	return web >= p.WebMin && (p.WebMax == 0 || web <= p.WebMax)
}
