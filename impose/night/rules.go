package night

import (
	"context"
	"fmt"
	"image"
	"time"

	"quoin/geometry"
	"quoin/geometry/gang"
	"quoin/geometry/outline"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/sheet"
)

// Rules are what the planner is told beside the orders.
type Rules struct {
	// House holds what all runs share: press, web, dies, gaps, bleed, repeat,
	// marks, targets, ink rules. Its artworks are not looked at. With dies, each
	// label is cut by the best one that suits; without, layouts are straight.
	House *job.Job

	Mixed   bool            // orders may mix inside a lane, station by station
	Widths  bool            // labels that differ in width alone may share a frame, in whole lanes and where no die cuts them
	Overs   *geometry.Share // limit for orders that say none; nil sets no limit
	Scrap   bool            // labels beyond the limit are allowed, and counted as scrap
	NoSplit bool            // every order stays in one run
	// WholeRolls makes runs as long as whole rolls, so that no lane leaves a
	// rest; of orders, or a house, that say the labels on a roll.
	WholeRolls bool
	MostIn     int             // orders in one run; 0 sets no limit
	LeastRun   geometry.Length // net web of every run; 0 sets no limit
	By         Measure
	// Presses are those beside the house's that runs may be printed on, by money.
	Presses []*job.Press
	// FreeWeb leaves the web to the plan, by money: nobody named one.
	FreeWeb bool
	Nights  int // that are planned at once; 0 is one
	// SetUp says with what presses stand set up when the first run begins; nobody
	// knows of those that are not in it.
	SetUp map[*job.Press]Stand
	// Scarce is what a press's minute counts beside its price, in the currency, while
	// it is chosen what to print where: that of a press whose hours are too few.
	Scarce map[*job.Press]float64
	// Short is what a square metre of webs counts beside its price, likewise: of those of
	// which there is too little in stock.
	Short map[StockWeb]float64
	// Rests counts all web of a width at the price of its rests of rolls, where there
	// are some, while it is chosen what to print where.
	Rests bool
	// Trial is a tool that is in the library and in no drawing; zero: there is none.
	Trial Trial
	// Earlier is the file of an earlier plan of the same nights; empty where there
	// is none.
	Earlier string

	Day   time.Time // of the night; zero: all orders are taken
	Early int       // days that an order may be printed before it is due; with Day only

	// AllEarly takes all of those, whatever they gain: somebody else has chosen them.
	AllEarly bool

	Without []string // orders that are held back for a later night, by their numbers
	Pins    Pins     // orders that are to be together, apart, or not printed at all

	Seed uint64
	Time time.Duration // of search on two cores; counted in steps, so that it always gives the same plan

	// PlanOnly does without artworks where an order says label and inks, or
	// where nobody says the inks.
	PlanOnly bool
	// NoProof keeps each run's PDF without proving it against its summary. Verify
	// proves those of an earlier start again.
	NoProof, Verify bool
	// Pixels draws each run's plates too and compares them with its artworks'.
	Pixels bool

	// Pictures, when set, draws each label of a run, for its sheet.
	Pictures func(context.Context, *impose.Imposition) ([]image.Image, error)
	// Ink, when set, measures what each run takes of its inks.
	Ink impose.InkMeter
	// Plates, when set, looks at the plates of each run's labels where the job or
	// its press says what for.
	Plates impose.PlateLooker
	// NoAlike doesn't compare the labels that share a run.
	NoAlike bool

	Paper sheet.Paper // of the job sheets
	// NameOf, when set, names a file for the night's own files; without it they are
	// named as seen from the working folder. See SeenFrom.
	NameOf func(path string) string
	// Search, when set, spends long helpings of the search elsewhere; the plan is
	// the same.
	Search gang.Elsewhere
	// Stands, when set, is told how good the plan is, whenever the search knows more.
	Stands func(Standing)
	// Tell, when set, is told how far things are.
	Tell func(stage string, done, all int)
}

// StockWeb is a press's web of a material and width.
type StockWeb struct {
	Press *job.Press
	Stock string
	Width geometry.Length
}

// Trial is a die that is to be made, by its number, and the line that it would cut as
// it stands on the web, its box at the origin; empty: as its shape says.
type Trial struct {
	Die string
	Cut outline.Outline
}

// Stand is a press before the first run of a plan.
type Stand struct {
	Set  *Set      // nil: nobody knows
	From time.Time // from when on it prints; zero: with its first shift
}

// Set is what a press is set up with.
type Set struct {
	Stock, Die string
	Web        geometry.Length
	Inks       []string // sorted
}

// Key tells sets apart.
func (s *Set) Key() string { return fmt.Sprintf("%q %q %d %q", s.Stock, s.Die, s.Web, s.Inks) }

// Measure is what a plan has the least of.
type Measure string

// The measures. Web counts what is printed with the make-ready; minutes are
// those of the press; money is all that the press file has a price for.
const (
	Web     Measure = "web"
	Minutes Measure = "minutes"
	Money   Measure = "money"
)

// CommonPress is assumed where nobody describes a press: full speed with up to
// six inks and half of it with up to twelve. Common practice for digital web
// presses, no source.
func CommonPress() *job.Press {
	return &job.Press{
		Name:     "a common press",
		Stations: 12,
		Speeds: []job.SpeedStep{
			{Inks: 6, PerMinute: 120 * geometry.Metre},
			{Inks: 12, PerMinute: 60 * geometry.Metre},
		},
	}
}

// Progress tells how far a stage is, where somebody listens.
func (r *Rules) Progress(stage string, done, all int) {
	if r.Tell != nil {
		r.Tell(stage, done, all)
	}
}
