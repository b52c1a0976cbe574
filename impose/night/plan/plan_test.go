package plan

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/night/nighttest"
	"quoin/impose/say"
)

const mm = geometry.Millimetre

func made(t testing.TB, all []job.Order, r *night.Rules) *Plan {
	t.Helper()
	p, err := Make(t.Context(), all, r, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// runOf returns the runs that an order stands in.
func runsOf(p *Plan, id string) []int {
	var runs []int
	for _, run := range p.Runs {
		for _, s := range run.Orders {
			if s.Order == id {
				runs = append(runs, run.Run)
			}
		}
	}
	return runs
}

// TestThreeOrdersOnSixLanes is worked by hand: 10,000, 5,000 and 2,500 labels in
// whole lanes of 12 rows take 3, 2 and 1 lanes and max(ceil(10000/36),
// ceil(5000/24), ceil(2500/12)) = 278 frames of 938.1 mm; the next best shares
// take 417. Arithmetic.
func TestThreeOrdersOnSixLanes(t *testing.T) {
	p := made(t, nighttest.Orders(t, "order,quantity\nA,10000\nB,5000\nC,2500\n"), nighttest.Rules())
	if len(p.Runs) != 1 || !p.Proved || p.GapPercent != 0 {
		t.Fatalf("%d runs, proved %v, gap %g", len(p.Runs), p.Proved, p.GapPercent)
	}
	run := p.Runs[0]
	if run.Frames != 278 || fmt.Sprintf("%.3f", run.WebM) != "260.792" || fmt.Sprintf("%.3f", p.Total.WebM) != "320.792" {
		t.Errorf("%d frames, %.3f m, %.3f m in all", run.Frames, run.WebM, p.Total.WebM)
	}
	if got := fmt.Sprintf("%.3f", p.Total.PressMin); got != "2.673" { // 320.792 / 120
		t.Errorf("%s min", got)
	}
	for i, want := range []Share{{Order: "A", Lanes: 3, Labels: 10008, Overs: 8}, {Order: "B", Lanes: 2, Labels: 6672, Overs: 1672}, {Order: "C", Lanes: 1, Labels: 3336, Overs: 836}} {
		if s := run.Orders[i]; s.Order != want.Order || s.Lanes != want.Lanes || s.Labels != want.Labels || s.Overs != want.Overs {
			t.Errorf("%+v, want %+v", s, want)
		}
	}
	// Alone: ceil(10000/72) + ceil(5000/72) + ceil(2500/72) = 139 + 70 + 35 frames and three set-ups.
	if got := fmt.Sprintf("%.4f", p.Alone.WebM); got != "408.8964" || p.Alone.SavedRuns != 2 {
		t.Errorf("alone %s m, %d runs saved", got, p.Alone.SavedRuns)
	}
}

// TestStationsMixWithinALane: 17,500 labels on 72 stations need at least
// ceil(17500 / 72) = 244 frames; 42, 20 and 10 stations make it in 250, and 245
// is the least of all shares. Found by trying all of them.
func TestStationsMixWithinALane(t *testing.T) {
	r := nighttest.Rules()
	r.Mixed = true
	p := made(t, nighttest.Orders(t, "order,quantity\nA,10000\nB,5000\nC,2500\n"), r)
	best := int64(1 << 60)
	for a := int64(1); a < 71; a++ {
		for b := int64(1); a+b < 72; b++ {
			c := 72 - a - b
			best = min(best, max((10000+a-1)/a, (5000+b-1)/b, (2500+c-1)/c))
		}
	}
	if len(p.Runs) != 1 || p.Runs[0].Frames != best || p.Lanes != "mixed" {
		t.Errorf("%d runs, %d frames, best %d", len(p.Runs), p.Runs[0].Frames, best)
	}
}

func TestOversLimitIsKept(t *testing.T) {
	csv := "order,quantity,overs\nA,10000,\nB,5000,10%\nC,2500,\n"
	r := nighttest.Rules()
	limit := 20 * geometry.Percent
	r.Overs = &limit
	p := made(t, nighttest.Orders(t, csv), r)
	for id, most := range map[string]int64{"A": 12000, "B": 5500, "C": 3000} {
		made := int64(0)
		for _, run := range p.Runs {
			for _, s := range run.Orders {
				if s.Order == id {
					made += s.Labels
				}
			}
		}
		if made > most {
			t.Errorf("%s: %d labels, the customer takes %d", id, made, most)
		}
	}
	hard := p.Total.WebM
	r.Scrap = true
	p = made(t, nighttest.Orders(t, csv), r)
	// The unlimited plan: B has 1672 over, 500 of them taken; C 836 and 500.
	if p.Total.Scrap != 1172+336 || p.Total.WebM > hard {
		t.Errorf("%d scrap, %.1f m against %.1f m", p.Total.Scrap, p.Total.WebM, hard)
	}
}

// TestLabelsOfTheLastFrameAreToldOf: 1,001 labels on 6 lanes of 12 rows fill no
// whole number of rows, and none of them may be over. What is made beyond that
// is said, until the order's run turns out to fail.
func TestLabelsOfTheLastFrameAreToldOf(t *testing.T) {
	p := made(t, nighttest.Orders(t, "order,quantity,overs\nA,1001,0%\nB,1008,0%\nC,5000,\n"), nighttest.Rules())
	made := int64(0)
	for _, run := range p.Runs {
		for _, s := range run.Orders {
			if s.Order == "A" {
				made += s.Labels
			}
		}
	}
	want := night.NoteOn("A", night.LastFrame, "%s labels are made, 1,001 are the limit: the last frame is printed whole", say.Number(made))
	if made <= 1001 || !slices.Contains(p.Notes, want) || nighttest.CodeOf(p.Notes, "B") != "" || nighttest.CodeOf(p.Notes, "C") != "" {
		t.Errorf("%d made, notes %q", made, p.Notes)
	}
	failed := make([]error, len(p.Runs))
	for _, i := range runsOf(p, "A") {
		failed[i-1] = context.Canceled
	}
	p.Drop(failed)
	if slices.ContainsFunc(p.Notes, func(n night.Note) bool { return n.Order == "A" }) {
		t.Errorf("of what is not made: %q", p.Notes)
	}
}

func TestDrugLabelsShareNoFrame(t *testing.T) {
	p := made(t, nighttest.Orders(t, "order,quantity,flags\nA,10000,\nB,5000,drug-label\nC,2500,\nD,600,drug-label\nE,600,alone\n"), nighttest.Rules())
	for _, run := range p.Runs {
		for _, s := range run.Orders {
			if s.order.SharesNoFrame() && len(run.Orders) > 1 {
				t.Errorf("%s shares %s", s.Order, run.Name)
			}
		}
	}
	for id, want := range map[string]string{"B": night.DrugLabel, "D": night.DrugLabel, "E": night.RunsAlone} {
		if got := nighttest.CodeOf(p.Notes, id); got != want {
			t.Errorf("%s has the note %q", id, got)
		}
	}
	for _, n := range p.Notes {
		if n.Order == "B" && !strings.Contains(n.Text, "21 CFR 211.122(f)") {
			t.Errorf("the note gives no reason: %s", n.Text)
		}
	}
	if len(p.Unplanned) > 0 {
		t.Errorf("left out: %v", p.Unplanned)
	}
}

func TestOneBadOrderStopsNoOther(t *testing.T) {
	csv := `order,quantity,label,die,material,inks,artwork,overs
good,10000,,,,,,
huge,10000,500x500mm,,,,,
nodie,10000,,0815,,,,
inky,10000,,,,"a,b,c,d,e,f,g,h,i,j,k,l,m",,
short,100,,,,,,0%
gone,10000,60x80mm,,,,gone.pdf,
`
	r := nighttest.Rules()
	r.LeastRun = 100 * geometry.Metre
	p := made(t, nighttest.Orders(t, csv), r)
	want := map[string]string{"huge": night.NotFit, "nodie": night.NoDie, "inky": night.BadInks, "short": night.TooShort}
	for id, code := range want {
		if got := nighttest.CodeOf(p.Unplanned, id); got != code {
			t.Errorf("%s is left out as %q, want %q", id, got, code)
		}
	}
	if len(p.Unplanned) != len(want) || len(runsOf(p, "good")) == 0 || len(runsOf(p, "gone")) == 0 {
		t.Errorf("left out %v, %d runs", p.Unplanned, len(p.Runs))
	}
	// To be written, the artwork must be there.
	r.PlanOnly = false
	if got := nighttest.CodeOf(made(t, nighttest.Orders(t, csv), r).Unplanned, "gone"); got != night.BadArtwork {
		t.Errorf("a missing artwork is left out as %q", got)
	}
}

// TestQuantitiesThatAreLikelyMistyped: 72 labels on 938.1 mm make 10,000,000
// labels 130 km, and the most that an order file may say 13,029,167 km, which
// are more than the search adds up. Arithmetic.
func TestQuantitiesThatAreLikelyMistyped(t *testing.T) {
	r := nighttest.Rules()
	r.LeastRun = 200 * geometry.Metre
	p := made(t, nighttest.Orders(t, "order,quantity,overs\nusual,7000000,\nlong,10000000,\nhuge,1000000000000,\nshort,100,0%\n"), r)
	for _, c := range []struct {
		notes []night.Note
		want  night.Note
	}{
		{p.Notes, night.NoteOn("long", night.LongWeb, "10,000,000 labels are 130 km of web on all lanes (check the quantity)")},
		{p.Unplanned, night.NoteOn("huge", night.TooLarge, "1,000,000,000,000 labels are 13,029,167 km of web on all lanes, more than can be planned (check the quantity, or split the order into several)")},
		{p.Unplanned, night.NoteOn("short", night.TooShort, "the least run of 200 m makes 2,568 labels in one lane, the customer takes 100 (allow more overs, or shorter runs)")},
	} {
		if !slices.Contains(c.notes, c.want) {
			t.Errorf("%q lack %q", c.notes, c.want)
		}
	}
	if nighttest.CodeOf(p.Notes, "usual") != "" || len(runsOf(p, "long")) == 0 {
		t.Errorf("notes %q", p.Notes)
	}
}

func TestNothingSaysTheSize(t *testing.T) {
	r := nighttest.Rules()
	r.House.Label = geometry.Size{}
	p := made(t, nighttest.Orders(t, "order,quantity\nA,10000\n"), r)
	if nighttest.CodeOf(p.Unplanned, "A") != night.NoSize || p.Runs == nil || len(p.Runs) != 0 {
		t.Errorf("%+v", p.Unplanned)
	}
}

func TestFaultsOfTheOrderFileAreNotes(t *testing.T) {
	all, err := job.ParseOrders("o.csv", []byte("order,quantity,due\nA,10,\nB,many,soon\nC,5,\n,7,\n"))
	bad, ok := errors.AsType[*job.FileError](err)
	if !ok {
		t.Fatal(err)
	}
	notes := night.Faults(append(bad.Faults, job.Fault{Position: job.Position{Path: "in/o.csv", Line: 5, Col: 2}, What: "too"}))
	if len(all) != 2 || len(notes) != 2 {
		t.Fatalf("%d orders, %v", len(all), notes)
	}
	if n := notes[0]; n.Order != "B" || n.Code != night.BadOrder || !strings.Contains(n.Text, "o.csv:3:3") || !strings.Contains(n.Text, "o.csv:3:8") {
		t.Errorf("%+v", n)
	}
	if n := notes[1]; n.Order != "" || !strings.HasPrefix(n.Text, "o.csv:5:1: ") || !strings.HasSuffix(n.Text, "; o.csv:5:2: too") {
		t.Errorf("%+v", n)
	}
}

func TestLaterOrdersWait(t *testing.T) {
	r := nighttest.Rules()
	r.Day, r.Early = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), 2
	p := made(t, nighttest.Orders(t, "order,quantity,due\nlate,600,2026-02-27\nnow,600,2026-03-01\nsoon,600,2026-03-03\nthen,600,2026-03-04\nany,600,\n"), r)
	if nighttest.CodeOf(p.Later, "then") != night.NotYet || len(p.Later) != 1 || nighttest.CodeOf(p.Notes, "late") != night.Late || len(p.Unplanned) > 0 {
		t.Errorf("later %v, notes %v", p.Later, p.Notes)
	}
	if p.Total.Orders != 4 || len(runsOf(p, "then")) > 0 {
		t.Errorf("%d orders are planned", p.Total.Orders)
	}
}

func TestPriorityAndDueDayDecideTheOrderOfRuns(t *testing.T) {
	p := made(t, nighttest.Orders(t, "order,quantity,material,due,priority\nA,6000,a,2026-03-05,0\nB,6000,b,2026-03-02,0\nC,6000,c,,0\nD,6000,d,2026-03-09,3\n"), nighttest.Rules())
	var got []string
	for _, run := range p.Runs {
		got = append(got, run.Orders[0].Order)
	}
	if !slices.Equal(got, []string{"D", "B", "A", "C"}) {
		t.Errorf("printed in the order %v", got)
	}
}

func TestInksMergeOnlyWhereItPays(t *testing.T) {
	const four, five, seven = "C,M,Y,K", "C,M,Y,K,Gold", "C,M,Y,K,Gold,Red,Blue"
	for _, c := range []struct {
		name   string
		a, b   string // inks of one order of quantity labels, and of five of 1000
		long   int
		groups int
	}{
		// At one speed the set-up that is saved always pays.
		{"one speed", four, five, 1000, 1},
		// Five orders of 1,000 in one lane each take 84 frames, and leave a lane:
		// another 1,000 cost nothing there, but 14 frames and 60 m of make-ready,
		// 0.61 min, alone at full speed.
		{"a free lane", four, seven, 1000, 1},
		// 70,000 labels alone are 973 frames, 8.1 min at full speed; at half of it
		// they take more than twice the set-up that is saved.
		{"a long run", four, seven, 70000, 2},
	} {
		csv := fmt.Sprintf("order,quantity,inks\nA,%d,%q\n", c.long, c.a)
		for i := range 5 {
			csv += fmt.Sprintf("B%d,1000,%q\n", i, c.b)
		}
		p := made(t, nighttest.Orders(t, csv), nighttest.Rules())
		if len(p.Groups) != c.groups {
			t.Errorf("%s: %d groups, want %d", c.name, len(p.Groups), c.groups)
		}
	}
	// Two hits of white take two stations.
	p := made(t, nighttest.Orders(t, "order,quantity,inks\nA,600,\"White,White,Black\"\n"), nighttest.Rules())
	if !slices.Equal(p.Groups[0].Inks, []string{"Black", "White", "White"}) {
		t.Errorf("inks %q", p.Groups[0].Inks)
	}
}

// TestThreeInkSetsShareOneRun: no two of them pay together, as half the press's
// speed and a run for the third eat up the set-up that is saved; all three do.
func TestThreeInkSetsShareOneRun(t *testing.T) {
	r := nighttest.Rules()
	csv := `order,quantity,overs,inks
A,100,50%,"C,M,Y,K,Blue,Violet"
B,100,50%,"C,M,Y,K,Red,Blue"
C,200,50%,"C,M,Y,K,Green,Violet"
`
	p := made(t, nighttest.Orders(t, csv), r)
	if len(p.Groups) != 1 || len(p.Runs) != 1 {
		t.Errorf("%d groups, %d runs, %.1f m, %.1f min", len(p.Groups), len(p.Runs), p.Total.WebM, p.Total.PressMin)
	}
	if !p.Proved || p.ProvedFor != TheseGroups {
		t.Errorf("proved %v for %q", p.Proved, p.ProvedFor)
	}
	// Among more groups than every set can be tried of, too.
	for i := range fewGroups { // with eleven inks each, that go with nobody's
		csv += fmt.Sprintf("L%d,900,,\"C,M,Y,K", i)
		for k := range 7 {
			csv += fmt.Sprintf(",%d of %d", k, i)
		}
		csv += "\"\n"
	}
	p = made(t, nighttest.Orders(t, csv), r)
	if a := runsOf(p, "A"); len(p.Groups) != fewGroups+1 || !slices.Equal(a, runsOf(p, "B")) || !slices.Equal(a, runsOf(p, "C")) {
		t.Errorf("%d groups: A in %v, B in %v, C in %v", len(p.Groups), a, runsOf(p, "B"), runsOf(p, "C"))
	}
}

// TestBestSharesAreNoWorseThanGrownOnes: where every set of groups is tried, no
// way of joining one after the other takes fewer minutes.
func TestBestSharesAreNoWorseThanGrownOnes(t *testing.T) {
	for seed := range 12 {
		csv := "order,quantity,inks\n"
		for i := range fewGroups {
			inks := []string{"C", "M", "Y", "K", fmt.Sprint("s", (seed+i*i)%5), fmt.Sprint("t", (seed*i+3)%4), fmt.Sprint("u", i)}
			csv += fmt.Sprintf("%d,%d,%q\n", i, 100+(seed*1000+i*37)%(1+seed)*900, strings.Join(inks[:5+i%3], ","))
		}
		r := nighttest.Rules()
		in, err := intake.Take(t.Context(), nighttest.Orders(t, csv), r)
		if err != nil {
			t.Fatal(err)
		}
		m := &merger{t.Context(), r}
		minutes := func(share func([]*part) []*part) (sum float64) {
			groups, err := groupUp(in.Orders, nil, r)
			if err != nil {
				t.Fatal(err)
			}
			var parts []*part
			for _, g := range groups {
				parts = append(parts, &part{g, g.quick(t.Context(), r)})
			}
			seen := 0
			for _, p := range share(parts) {
				sum += p.takes.minutes
				seen += len(p.orders)
			}
			if seen != len(in.Orders) {
				t.Errorf("seed %d: %d of %d orders", seed, seen, len(in.Orders))
			}
			return sum
		}
		if best, grown := minutes(m.bestShares), minutes(m.grow); best > grown+1e-9 {
			t.Errorf("seed %d: every set tried takes %g min, grown ones %g", seed, best, grown)
		}
	}
}

func TestUnionCountsHits(t *testing.T) {
	if got := union([]string{"a", "w", "w"}, []string{"b", "w"}); !slices.Equal(got, []string{"a", "b", "w", "w"}) {
		t.Errorf("%q", got)
	}
}

func TestRollsAreCountedForEachLane(t *testing.T) {
	// 100,000 labels on 6 lanes: 1389 frames of 12 rows make 16,668 labels in a
	// lane, 6 full rolls of 2,500 and 1,668 left: 36 full and 6 part rolls.
	// Arithmetic.
	p := made(t, nighttest.Orders(t, "order,quantity,labels-per-roll,flags\nA,100000,2500,alone\n"), nighttest.Rules())
	if s := p.Runs[0].Orders[0]; s.Lanes != 6 || s.Rolls != 36 || s.PartRolls != 6 {
		t.Errorf("%+v", s)
	}
}

func TestMinutesCanBeTheMeasure(t *testing.T) {
	r := nighttest.Rules()
	csv := "order,quantity\nA,10000\nB,4000\nC,2500\nD,900\nE,7000\nF,3000\nG,100\n"
	web := made(t, nighttest.Orders(t, csv), r)
	r.By, r.House.Press = night.Minutes, night.CommonPress()
	r.House.Press.SetupMin = 20
	minutes := made(t, nighttest.Orders(t, csv), r)
	r.By = night.Web
	again := made(t, nighttest.Orders(t, csv), r)
	if minutes.Total.PressMin > again.Total.PressMin || minutes.Total.Runs > web.Total.Runs || minutes.Bound.PressMin > minutes.Total.PressMin {
		t.Errorf("least minutes: %+v; least web: %+v", minutes.Total, again.Total)
	}
}

func TestSamePlanEveryTime(t *testing.T) {
	var csv strings.Builder
	csv.WriteString("order,quantity,material\n")
	for i := range 60 {
		fmt.Fprintf(&csv, "%d,%d,m%d\n", i, 500+i*i*37%9000, i%5)
	}
	var first []byte
	for range 3 {
		again, err := json.Marshal(made(t, nighttest.Orders(t, csv.String()), nighttest.Rules()))
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = again
		} else if !bytes.Equal(first, again) {
			t.Fatal("the second plan differs from the first")
		}
	}
}

// TestNoOrderIsLostOrDoubled draws nights under random rules: every order is
// printed as ordered, or is left out or waits with a reason; limits are kept
// and totals add up.
func TestNoOrderIsLostOrDoubled(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := nighttest.Rules()
		r.Time = 2 * time.Millisecond
		r.Mixed, r.NoSplit, r.Scrap = rapid.Bool().Draw(rt, "mixed"), rapid.Bool().Draw(rt, "no split"), rapid.Bool().Draw(rt, "scrap")
		r.Widths = !r.Mixed && rapid.Bool().Draw(rt, "widths")
		r.House.Turns = []geometry.Turn{geometry.Turn0} // 12 rows, whatever the width
		r.MostIn = rapid.SampledFrom([]int{0, 0, 2, 4}).Draw(rt, "orders per run")
		r.LeastRun = geometry.Length(rapid.SampledFrom([]int{0, 0, 30}).Draw(rt, "least run")) * geometry.Metre
		if rapid.Bool().Draw(rt, "minutes") {
			r.By = night.Minutes
		}
		r.Day = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
		n := rapid.IntRange(1, 25).Draw(rt, "orders")
		all := make([]job.Order, n)
		for i := range all {
			o := &all[i]
			o.ID, o.Page = fmt.Sprint("o", i), 1
			o.Quantity = int64(rapid.IntRange(1, 30000).Draw(rt, "quantity"))
			o.Material = rapid.SampledFrom([]string{"film", "paper"}).Draw(rt, "material")
			o.Inks = rapid.SampledFrom([][]string{nil, {"K"}, {"C", "M", "Y", "K"}, {"C", "M", "Y", "K", "a", "b", "c"}}).Draw(rt, "inks")
			if across := rapid.SampledFrom([]int{0, 0, 40, 77, 250}).Draw(rt, "across"); across > 0 {
				o.Label = geometry.Size{Across: geometry.Length(across) * mm, Around: 75 * mm}
			}
			o.DrugLabel = rapid.IntRange(0, 9).Draw(rt, "drug") == 0
			o.NoSplit = rapid.Bool().Draw(rt, "whole")
			if rapid.Bool().Draw(rt, "limited") {
				s := geometry.Share(rapid.IntRange(0, 30).Draw(rt, "overs")) * geometry.Percent
				o.Overs = &s
			}
			if rapid.IntRange(0, 9).Draw(rt, "due") == 0 {
				o.Due = r.Day.AddDate(0, 0, 3)
			}
			if rapid.IntRange(0, 19).Draw(rt, "impossible") == 0 {
				o.Label = geometry.Size{Across: geometry.Metre, Around: geometry.Metre}
			}
		}
		if n > 3 {
			r.Pins = drawPins(rt, n)
		}
		p, err := Make(t.Context(), all, r, nil)
		if say.KindOf(err) == say.NotFit && len(r.Pins.Together) > 0 {
			r.Pins.Together = nil // refused, with the reason
			p, err = Make(t.Context(), all, r, nil)
		}
		if err != nil {
			rt.Fatal(err)
		}
		checkPlan(rt, p, all)
	})
}

// checkPlan proves a plan against its orders, without the planner's own sums.
func checkPlan(t interface{ Errorf(string, ...any) }, p *Plan, all []job.Order) {
	told := map[string]int{}
	for _, n := range slices.Concat(p.Unplanned, p.Later) {
		told[n.Order]++
	}
	type sums struct{ ordered, labels, overs, scrap, runs int64 }
	of := map[string]*sums{}
	var web, gross, minutes float64
	for i, run := range p.Runs {
		stations, band := int64(0), 2*p.rules.House.Bleed-p.rules.House.Gap.Across
		seen := map[string]bool{}
		for _, s := range run.Orders {
			if seen[s.Order] {
				t.Errorf("%s stands twice in %s", s.Order, run.Name)
			}
			seen[s.Order] = true
			if of[s.Order] == nil {
				of[s.Order] = &sums{}
			}
			x := of[s.Order]
			x.ordered, x.labels, x.overs, x.scrap, x.runs = x.ordered+s.Ordered, x.labels+s.Labels, x.overs+s.Overs, x.scrap+s.Scrap, x.runs+1
			stations += s.Stations
			band += geometry.Length(s.Lanes) * (s.order.Forme.Layout.Label.Across + p.rules.House.Gap.Across)
			if s.order.DrugLabel && len(run.Orders) > 1 || !p.rules.Widths && s.LabelMM != nil {
				t.Errorf("%s shares %s", s.Order, run.Name)
			}
			if s.Labels != run.Frames*s.Stations || s.Labels != s.Ordered+s.Overs || s.Overs < 0 {
				t.Errorf("%s of %s: %+v", s.Order, run.Name, s)
			}
		}
		if stations+run.BlankPlaces != int64(run.Lanes*run.Rows) || run.BlankPlaces < 0 {
			t.Errorf("%s: %d stations and %d blank ones on %d x %d", run.Name, stations, run.BlankPlaces, run.Lanes, run.Rows)
		}
		if left := p.rules.House.Web().Band() - band; left < 0 || run.BandLeftMM > 0 && left.MM() != run.BandLeftMM {
			t.Errorf("%s: the lanes leave %v of the band, the run says %g mm", run.Name, left, run.BandLeftMM)
		}
		if run.Run != i+1 || p.rules.MostIn > 0 && len(run.Orders) > p.rules.MostIn || run.WebM < p.rules.LeastRun.Metres() {
			t.Errorf("%s: number %d, %d orders, %g m", run.Name, run.Run, len(run.Orders), run.WebM)
		}
		web, gross, minutes = web+run.WebM, gross+run.WebGrossM, minutes+run.PressMin
	}
	checkPins(t, p)
	var total sums
	for i := range all {
		o := &all[i]
		if slices.Contains(p.rules.Pins.TakenOut, o.ID) {
			if of[o.ID] != nil {
				t.Errorf("%s is printed, and was taken out", o.ID)
			}
			continue
		}
		x := of[o.ID]
		switch {
		case x == nil && told[o.ID] != 1:
			t.Errorf("%s is in no run and told of %d times", o.ID, told[o.ID])
		case x == nil:
			continue
		case told[o.ID] > 0 || x.ordered != o.Quantity:
			t.Errorf("%s: %d of %d ordered labels are planned, told of %d times", o.ID, x.ordered, o.Quantity, told[o.ID])
		case (o.NoSplit || p.rules.NoSplit || o.DrugLabel && o.NoSplit) && x.runs > 1:
			t.Errorf("%s is split over %d runs", o.ID, x.runs)
		}
		if o.Overs != nil {
			each := int64(12)
			if p.rules.Mixed {
				each = 1
			}
			limit := o.Quantity + int64(float64(o.Quantity)*o.Overs.Float()+1e-9)
			frame := (o.Quantity + each - 1) / each * each // the last frame is printed whole
			if x.labels-x.scrap > max(limit, frame) || !p.rules.Scrap && x.scrap > 0 {
				t.Errorf("%s: %d labels, %d scrap, limit %d", o.ID, x.labels, x.scrap, limit)
			}
		}
		total.ordered, total.labels, total.overs, total.scrap = total.ordered+x.ordered, total.labels+x.labels, total.overs+x.overs, total.scrap+x.scrap
	}
	tt := p.Total
	if total.ordered != tt.Ordered || total.labels != tt.Labels || total.overs != tt.Overs || total.scrap != tt.Scrap || tt.Orders != len(of) || tt.Runs != len(p.Runs) {
		t.Errorf("total %+v, runs add up to %+v", tt, total)
	}
	near := func(what string, a, b float64) {
		if d := a - b; d > 1e-6 || d < -1e-6 {
			t.Errorf("%s: %g, runs add up to %g", what, a, b)
		}
	}
	near("net", tt.WebNetM, web)
	near("web", tt.WebM, gross)
	near("minutes", tt.PressMin, minutes)
	near("web parts", tt.WebM, tt.WebNetM+tt.RunWasteM+tt.SetupM)
	if p.Bound.WebM > tt.WebM+1e-6 || p.Bound.PressMin > tt.PressMin+1e-6 || p.Bound.Runs > tt.Runs || p.GapPercent < 0 {
		t.Errorf("bound %+v over total %+v, gap %g", p.Bound, tt, p.GapPercent)
	}
}
