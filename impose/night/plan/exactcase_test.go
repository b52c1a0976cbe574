package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// The exact solver of these files shares no code with the planner: it tries every
// way to part a few orders into groups, every bed for each, every set of runs,
// and every order of the groups on a press. Lengths in millimetres, money in the
// currency's unit.

// exactPress is what the solver knows of a press.
type exactPress struct {
	name       string
	fast, slow float64 // m/min, with six inks and with more
	hour       float64 // its price
	webs       [2]float64
}

var exactPresses = []exactPress{
	{name: "wide press", fast: 120, slow: 60, hour: 180, webs: [2]float64{250, 340}},
	{name: "narrow press", fast: 60, slow: 40, hour: 110, webs: [2]float64{200, 280}},
}

// exactTerms are the prices and times that all presses share, in minutes, metres and
// the currency's unit.
type exactTerms struct {
	paper, film, ink          float64 // of a square metre
	setup, perInk             float64 // metres
	setupMin, perSetup        float64
	hour                      float64 // of a press's price, times
	finishHour, finishMin     float64
	material, web, inks, dies float64 // minutes of changes
}

// usualTerms are a digital press's; smallTerms make a run of few frames cost as much
// as its set-up, so that short orders ask the questions of long ones.
var (
	usualTerms = exactTerms{0.35, 0.48, 0.01, 40, 2, 3, 12, 1, 90, 6, 8, 5, 3, 12}
	smallTerms = exactTerms{35, 48, 1, 2, 0.5, 0.25, 80, 100, 9000, 0.25, 0.25, 0.125, 0.0625, 0.5}
)

const exactPressText = `
name: %s
web-min: 100mm
web-max: 340mm
edge: 4mm
target-lane: 6mm
frame-max: 980mm
stations: 12
speeds: [{inks: 6, speed: %gm/min}, {inks: 12, speed: %gm/min}]
setup: %gm
setup-time: %gmin
setup-per-ink: %gm
run-waste: 3%%
unwinder: {roll-change: 5min, master-roll: 2000m}
finishing: {die-cutting: 100m/min, setup-time: %gmin, windings: 2, edge-matrix: 3mm, unused-lanes: %v}
webs: [%gmm, %gmm]
changes: {material: %gmin, web: %gmin, ink: %gmin, die: %gmin}
prices: {currency: EUR, web: %g/m2, press: %g/h, finishing: %g/h, setup: %g, ink-area: %g/m2, materials: [{material: film, web: %g/m2}]}
`

type exactDie struct {
	number      string
	lanes, rows int
	gap         float64 // between lanes
	repeat      float64
}

type exactOrder struct {
	id, material string
	quantity     int
	inks         []string
}

// exactCase is a night of two to four orders of one label.
type exactCase struct {
	width, height float64
	dies          []exactDie // none: any straight layout
	unused        bool       // dies wider than the web are run with fewer lanes
	orders        []exactOrder
	terms         exactTerms
}

// drawExact draws a case; of even seeds it has two dies, of which one at least
// suits a web.
func drawExact(seed int) exactCase {
	rng := rand.New(rand.NewPCG(uint64(seed), 7))
	c := exactCase{terms: usualTerms, width: float64(40 + 5*rng.IntN(8)), height: float64(40 + 5*rng.IntN(10))}
	if seed%2 == 0 {
		for i := range 2 {
			gap := []float64{4, 5.5, 7}[rng.IntN(3)]
			rows := 1 + int((250+150*rng.Float64())/(c.height+gap))
			c.dies = append(c.dies, exactDie{fmt.Sprintf("D%d", i+1), 3 + rng.IntN(4), rows, 3, float64(rows) * (c.height + gap)})
		}
		if c.unused = seed%4 == 2; !c.unused {
			c.dies[0].lanes = min(c.dies[0].lanes, int((340-20-3+3)/(c.width+3)))
		}
	}
	for i := range 2 + rng.IntN(3) {
		c.orders = append(c.orders, exactOrder{
			id: fmt.Sprint("O", i), material: []string{"paper", "paper", "film"}[rng.IntN(3)], quantity: int(200 * math.Exp(rng.Float64()*4)),
			inks: [][]string{{"C", "M", "Y", "K"}, {"C", "M", "Y", "K", "Gold"}, {"C", "M", "Y", "K", "Gold", "White", "Leaf"}}[rng.IntN(3)],
		})
	}
	return c
}

// night returns the case as the planner takes it.
func (c *exactCase) night(t *testing.T) ([]job.Order, *night.Rules) {
	t.Helper()
	var presses []*job.Press
	x := c.terms
	for _, p := range exactPresses {
		press, err := job.ParsePress("press.yaml", fmt.Appendf(nil, exactPressText, p.name, p.fast, p.slow,
			x.setup, x.setupMin, x.perInk, x.finishMin, c.unused, p.webs[0], p.webs[1], x.material, x.web, x.inks, x.dies,
			x.paper, p.hour*x.hour, x.finishHour, x.perSetup, x.ink, x.film))
		if err != nil {
			t.Fatal(err)
		}
		presses = append(presses, press)
	}
	house := job.New()
	house.Press, house.Bleed = presses[0], 1500*geometry.Micrometre
	house.Gap = geometry.Size{Across: 3 * mm, Around: 3175 * geometry.Micrometre}
	if c.dies != nil {
		var b strings.Builder
		b.WriteString("number,size,lanes,rows,gap,repeat,station\n")
		for _, d := range c.dies {
			fmt.Fprintf(&b, "%s,%gx%gmm,%d,%d,%gx%gmm,%gmm,flat-bed\n", d.number, c.width, c.height, d.lanes, d.rows, d.gap, d.repeat/float64(d.rows)-c.height, d.repeat)
		}
		dies, err := job.ParseDies("dies.csv", []byte(b.String()))
		if err != nil {
			t.Fatal(err)
		}
		house.Dies, house.Turns = dies, []geometry.Turn{geometry.Turn0}
	}
	r := &night.Rules{House: house, Presses: presses[1:], By: night.Money, Seed: 1, Time: 50 * time.Millisecond, PlanOnly: true}
	if err := r.SetHouse(house, "orders.csv"); err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("order,quantity,label,material,inks\n")
	for _, o := range c.orders {
		fmt.Fprintf(&b, "%s,%d,%gx%gmm,%s,%q\n", o.id, o.quantity, c.width, c.height, o.material, strings.Join(o.inks, ","))
	}
	return nighttest.Orders(t, b.String()), r
}
