package job

import (
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
	InkUse       InkFigures        // what a solid takes, in g/m2
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
}

// Resolution is in dots per inch.
type Resolution struct {
	Device int // what the press writes, across the web
	Around int // along its travel
	Enough int // what most labels need of their images; 0: as the device
}

// StockRange holds the calipers that the press runs.
type StockRange struct{ Thinnest, Thickest geometry.Length }

// Prices turn a run into money.
type Prices struct {
	Currency      string
	WebPerM2      float64 // material
	PressPerHour  float64
	FinishPerHour float64
	PerSetup      float64
	NewTool       float64 // one new cutting tool; 0: unknown
	InkPerKg      InkFigures
}

// Speed gives the web's length per minute with so many printing inks. More
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

// At gives where the value of a key stands in the press file.
func (p *Press) At(key string) Position { return p.source.at(key) }
