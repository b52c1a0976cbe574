package plan

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

func day(d int) time.Time { return time.Date(2026, 3, d, 0, 0, 0, 0, time.UTC) }

// printedOf lists the orders that are printed.
func printedOf(p *Plan) string {
	var list []string
	for _, run := range p.Runs {
		for _, s := range run.Orders {
			if !slices.Contains(list, s.Order) {
				list = append(list, s.Order)
			}
		}
	}
	slices.Sort(list)
	return strings.Join(list, "")
}

// TestEarlyOrdersAreTakenWhereTheyGain: A is due, and fills five of six lanes of
// 100 frames; B fills the sixth and saves a set-up, C is of another material, D and
// E share no frame. Where no orders share a run nothing gains.
func TestEarlyOrdersAreTakenWhereTheyGain(t *testing.T) {
	const list = "order,quantity,material,due,flags\nA,6000,film,2026-03-01,\nB,1200,film,2026-03-02,\nC,1200,paper,2026-03-02,\nD,1200,film,2026-03-02,alone\nE,1200,film,2026-03-02,drug-label\nF,1200,film,2026-03-09,\n"
	r := nighttest.Rules()
	r.Day, r.Early = day(1), 3
	p := made(t, nighttest.Orders(t, list), r)
	if got := printedOf(p); got != "AB" || len(p.Later) != 4 {
		t.Errorf("%s are printed; later %v", got, p.Later)
	}
	for _, o := range []string{"C", "D", "E"} {
		if !slices.ContainsFunc(p.Later, func(n night.Note) bool { return n.Order == o && strings.Contains(n.Text, "gains nothing") }) {
			t.Errorf("%s: %v", o, p.Later)
		}
	}
	if noted(p, "E", night.DrugLabel) {
		t.Error("an order that waits is said to run alone")
	}
	r.MostIn = 1
	if got := printedOf(made(t, nighttest.Orders(t, list), r)); got != "A" {
		t.Errorf("%s are printed though no run is shared", got)
	}
	r.MostIn, r.Early = 0, 0
	if got := printedOf(made(t, nighttest.Orders(t, list), r)); got != "A" {
		t.Errorf("%s are printed on their day", got)
	}
}

// TestManyEarlyOrders: of more than can be tried against each other none is taken
// without a due order, and what is taken costs no more than two nights do.
func TestManyEarlyOrders(t *testing.T) {
	var b strings.Builder
	b.WriteString("order,quantity,material,due\nA,6000,film,2026-03-01\n")
	for i := range 60 {
		fmt.Fprintf(&b, "B%02d,%d,%s,2026-03-%02d\n", i, 800+97*i, []string{"film", "paper"}[i%2], 2+i%3)
	}
	r := nighttest.Rules()
	r.Day, r.Early = day(1), 3
	p := made(t, nighttest.Orders(t, b.String()), r)
	if len(p.Groups) != 1 || len(p.Later) < 30 || p.Total.Orders+len(p.Later) != 61 {
		t.Errorf("%d groups, %d printed, %d later", len(p.Groups), p.Total.Orders, len(p.Later))
	}
}

// TestLaterOrdersAreCheckedWhenTheyArrive: what is wrong with an order for another
// night is said now.
func TestLaterOrdersAreCheckedWhenTheyArrive(t *testing.T) {
	r := nighttest.Rules()
	r.Day = day(1)
	p := made(t, nighttest.Orders(t, "order,quantity,label,due\nA,6000,,2026-03-01\nB,1200,900x900mm,2026-03-20\nC,1200,,2026-03-20\n"), r)
	if !noted(p, "B", night.LaterFault) || noted(p, "C", night.LaterFault) || len(p.Later) != 2 || len(p.Unplanned) != 0 {
		t.Errorf("later %v, left out %v, notes %v", p.Later, p.Unplanned, p.Notes)
	}
}

// TestPlansSeeMissingArtwork: a plan that needs no artwork says which the build
// will miss; a file that names none at all is a list of sizes.
func TestPlansSeeMissingArtwork(t *testing.T) {
	dir, _, r := nighttest.Desk(t, nighttest.DeskOrders)
	r.PlanOnly = true
	parse := func(text string) []job.Order {
		all, err := job.ParseOrders(filepath.Join(dir, "orders.csv"), []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		return all
	}
	p := made(t, parse("order,quantity,artwork,inks\nA,900,juice.pdf,C\nB,900,gone.pdf,C\nC,900,,C\nD,900,gone.pdf,\n"), r)
	for order, want := range map[string]bool{"A": false, "B": true, "C": true, "D": true} {
		if noted(p, order, night.NoArtwork) != want {
			t.Errorf("%s: %v", order, p.Notes)
		}
	}
	if p.Total.Orders != 4 {
		t.Errorf("%d orders are planned", p.Total.Orders)
	}
	p = made(t, parse("order,quantity\nA,900\n"), r)
	if noted(p, "A", night.NoArtwork) {
		t.Error("a list of sizes is warned of")
	}
}

// TestAloneKeepsTheRules, worked by hand on 6 lanes by 12 rows of 0.9381 m. 100
// labels take 9 frames of one lane. A customer who takes 5 % more gets 9 and no
// more, so three lanes of 3 frames, not six of 2. A least run of 20 m is 22 frames.
func TestAloneKeepsTheRules(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*night.Rules)
		overs  string
		frames float64
	}{
		"free":      {func(*night.Rules) {}, "", 2},
		"limited":   {func(*night.Rules) {}, "5%", 3},
		"scrap":     {func(r *night.Rules) { r.Scrap = true }, "5%", 2},
		"least run": {func(r *night.Rules) { r.LeastRun = 20_000_000_000 }, "", 22},
	} {
		r := nighttest.Rules()
		c.change(r)
		all := nighttest.Orders(t, "order,quantity,overs\nA,100,"+c.overs+"\n")
		p := made(t, all, r)
		if got, want := p.Alone.WebM, 60+c.frames*0.9381; got < want-1e-6 || got > want+1e-6 {
			t.Errorf("%s: %g m alone, want %g", name, got, want)
		}
		if p.Alone.WebM < p.Bound.WebM-1e-6 {
			t.Errorf("%s: alone %g m is under the bound of %g", name, p.Alone.WebM, p.Bound.WebM)
		}
		if err := p.Compared(t.Context(), all); err != nil {
			t.Fatal(err)
		}
		// Its own rule leaves it nothing to gain, however far from the plan it is.
		if v := p.Compare[len(p.Compare)-1]; v.Rule != "every order alone" || !v.Proved || v.GapPercent != 0 {
			t.Errorf("%s: %+v", name, v)
		}
	}
}

// TestAloneRunsAtItsOwnSpeed: five inks run at 120 m/min, eight at 60, also where
// they share runs.
func TestAloneRunsAtItsOwnSpeed(t *testing.T) {
	p := made(t, nighttest.Orders(t, "order,quantity,inks\nA,72000,\"C,M,Y,K,Red\"\nB,72,\"C,M,Y,K,Red,1,2,3\"\n"), nighttest.Rules())
	want := (60+1000*0.9381)/120 + (60+0.9381)/60
	if got := p.Alone.PressMin; got < want-1e-6 || got > want+1e-6 {
		t.Errorf("%g minutes alone, want %g", got, want)
	}
}

// TestRulesAreComparedForTheSameEarlyOrders: B is printed early as it fills a lane. Where
// rolls are whole the two share no run, and it would not be; what that costs is told of
// both.
func TestRulesAreComparedForTheSameEarlyOrders(t *testing.T) {
	all := nighttest.Orders(t, "order,quantity,material,due,labels-per-roll\nA,6000,film,2026-03-01,1000\nB,1200,film,2026-03-02,700\nC,1200,paper,2026-03-02,1000\n")
	r := nighttest.Rules()
	r.Day, r.Early = day(1), 3
	p := made(t, all, r)
	if got := printedOf(p); got != "AB" {
		t.Fatalf("%s are printed", got)
	}
	if err := p.Compared(t.Context(), all); err != nil {
		t.Fatal(err)
	}
	for _, v := range p.Compare {
		if !v.SameOrders || v.Orders != 2 || v.OfOrders != 2 {
			t.Errorf("%s: %d of %d orders, the same: %v", v.Rule, v.Orders, v.OfOrders, v.SameOrders)
		}
	}
	if len(p.Compare) < 4 {
		t.Errorf("%d rules are compared", len(p.Compare))
	}
}
