package plan

import (
	"encoding/json"
	"os"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/witness/schemas"
)

// toolRules are a night by money with one die, of two lanes of 50 x 75 mm, and
// cylinders that another could be made for at a price.
func toolRules(t *testing.T, price float64) *night.Rules {
	t.Helper()
	r := nighttest.MoneyRules(t)
	dies, err := job.ParseDies("dies.csv", []byte("number,size,lanes,rows,gap,repeat,station\n0001,50x75mm,2,4,3x4mm,316mm,flat-bed\n"))
	if err != nil {
		t.Fatal(err)
	}
	gear, err := geometry.ParseGear("1/8in CP")
	if err != nil {
		t.Fatal(err)
	}
	r.House.Dies, r.Presses = dies, nil
	r.House.Press.Finishing.Cylinders = []geometry.Cylinder{{Teeth: 96, Gear: gear}, {Teeth: 100, Gear: gear}}
	r.House.Press.Prices.NewTool = price
	r.House.Press.Finishing.UnusedLanes = true
	return r
}

// TestToolThatPaysIsOffered: on a die of two lanes a large order takes three times the
// web that it would on one that fills it. The tool is offered with figures that plans
// made with and without it bear out, and stands in no run.
func TestToolThatPaysIsOffered(t *testing.T) {
	all := nighttest.Orders(t, "order,quantity,label,material,inks\nA,60000,50x75mm,film,\"C,M,Y,K\"\nB,20000,50x75mm,film,\"C,M,Y,K\"\n")
	offered := func(price float64) (*Plan, *night.Rules) {
		r := toolRules(t, price)
		p := made(t, all, r)
		money := *p.Total.Money
		if err := p.OfferTools(t.Context(), all); err != nil {
			t.Fatal(err)
		}
		if *p.Total.Money != money || len(p.Unplanned) > 0 {
			t.Errorf("the plan costs %d, and %d with the offer", money, *p.Total.Money)
		}
		return p, r
	}
	p, r := offered(120)
	if len(p.Tools) != 1 {
		t.Fatalf("%d tools are offered, want 1", len(p.Tools))
	}
	x := p.Tools[0]
	if x.Lanes < 5 || x.Price != 12_000 || x.Saves != x.Now-x.With-x.Price || x.Saves <= 0 || len(x.Orders) != 2 || x.LabelMM != [2]float64{50, 75} {
		t.Errorf("%+v", x)
	}
	for _, run := range p.Runs {
		if run.Die != "0001" {
			t.Errorf("%s is cut by %q", run.Name, run.Die)
		}
	}
	// The same with the tool in the die room, bought: the plan costs what was said.
	gap := x.GapMM[1]
	tool := geometry.Die{
		Number: "bought", Size: geometry.Size{Across: 50 * mm, Around: 75 * mm}, Lanes: x.Lanes, Rows: x.Rows, Gap: geometry.Size{Across: 3 * mm},
		Station: geometry.FullRotary,
	}
	if x.TurnDeg == 90 {
		tool.Size = tool.Size.Turned(geometry.Turn90)
	}
	for _, c := range r.House.Press.Finishing.Cylinders {
		if c.String() == x.Cylinder {
			tool.Cylinder = c
		}
	}
	if got := (tool.Cylinder.Repeat()/geometry.Length(x.Rows) - tool.Size.Around).MM(); got != gap {
		t.Errorf("a gap of %g mm, said %g", got, gap)
	}
	bought := toolRules(t, 0)
	bought.House.Dies = bought.House.Dies.With(tool)
	if got := *made(t, all, bought).Total.Money; got > x.With+x.With/200 || got < x.With-x.With/200 {
		t.Errorf("with the tool %d, said %d", got, x.With)
	}
	file, err := os.ReadFile("schema/plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	var any any
	if err := json.Unmarshal(text, &any); err != nil {
		t.Fatal(err)
	}
	if err := schemas.Schema(t, file).Validate(any); err != nil {
		t.Error(err)
	}
	for _, price := range []float64{0, 1e5} { // unknown, and too dear
		if p, _ := offered(price); len(p.Tools) != 0 {
			t.Errorf("at %g: %+v", price, p.Tools)
		}
	}
}
