package plan

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/night/nighttest"
	"quoin/impose/witness/schemas"
)

// seen is what a checker reads of a plan: its JSON, and none of its code.
type seen struct {
	By, Currency string
	Total        struct {
		Money int64
		Runs  int
		Web   float64 `json:"web_m"`
		Parts []seenPart
	}
	Bound   struct{ Money int64 }
	Presses []struct {
		Press string
		Money int64
		Busy  float64 `json:"busy_min"`
	}
	Unplanned []struct{ Order, Code string }
	Groups    []struct{ Material string }
	Runs      []struct {
		Name, Press, Die, Start, End string
		Group                        int
		Frames, Money                int64
		Rows, Lanes                  int
		Repeat                       float64 `json:"repeat_mm"`
		WebMM                        float64 `json:"web_mm"`
		Gross                        float64 `json:"web_gross_m"`
		Minutes                      float64 `json:"press_min"`
		Change                       float64 `json:"change_min"`
		Parts                        []seenPart
		Orders                       []struct {
			Order                string
			Lanes, Labels, Money int64
			Quantity             int64 `json:"order_quantity"`
		}
	}
}

type seenPart struct {
	Item  string
	Money int64
}

func sumOf(parts []seenPart) (sum int64) {
	for _, p := range parts {
		sum += p.Money
	}
	return sum
}

// checkMoney proves a plan from its JSON: needs met, room kept, stock kept, hours
// kept, sums right to the cent.
func checkMoney(t testing.TB, p *Plan, all []job.Order, presses []*job.Press, dies *job.Library) {
	t.Helper()
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	var s seen
	if err := json.Unmarshal(text, &s); err != nil {
		t.Fatal(err)
	}
	made, left := map[string]int64{}, map[string]bool{}
	for _, n := range s.Unplanned {
		left[n.Order] = true
	}
	runs, byPress, ends, gross := int64(0), map[string]int64{}, map[string]time.Time{}, map[string]float64{}
	items := map[string]int64{}
	for _, run := range s.Runs {
		press := presses[slices.IndexFunc(presses, func(p *job.Press) bool { return p.Name == run.Press })]
		runs, byPress[run.Press] = runs+run.Money, byPress[run.Press]+run.Money
		if got := sumOf(run.Parts); got != run.Money {
			t.Errorf("%s: items are %d, the run %d", run.Name, got, run.Money)
		}
		lanes, shares := int64(0), int64(0)
		for _, o := range run.Orders {
			lanes, shares = lanes+o.Lanes, shares+o.Money
			made[o.Order] += o.Labels
			if o.Labels != o.Lanes*int64(run.Rows)*run.Frames {
				t.Errorf("%s: %d lanes of %d rows in %d frames are not %d labels", run.Name, o.Lanes, run.Rows, run.Frames, o.Labels)
			}
		}
		if shares != run.Money {
			t.Errorf("%s: orders bear %d, the run is %d", run.Name, shares, run.Money)
		}
		d := dies.Find(run.Die)
		width := float64(lanes)*d.Size.Across.MM() + float64(lanes-1)*d.Gap.Across.MM()
		if room := run.WebMM - 2*press.Edge.MM() - 2*press.TargetLane.MM(); width > room+1e-6 || lanes > int64(d.Lanes) {
			t.Errorf("%s: %d lanes of %g mm have %g mm", run.Name, lanes, d.Size.Across.MM(), room)
		}
		pitch, spare := (d.Size.Across + d.Gap.Across).MM(), (d.Lanes-run.Lanes+1)/2
		if field := float64(run.Lanes+2*spare)*pitch - d.Gap.Across.MM(); field+2*press.Finishing.EdgeMatrix.MM() > run.WebMM+1e-6 {
			t.Errorf("%s: the die cuts %g mm of a web of %g mm", run.Name, field, run.WebMM)
		}
		if run.WebMM > press.WebMax.MM() {
			t.Errorf("%s: a web of %g mm on %s", run.Name, run.WebMM, run.Press)
		}
		material := s.Groups[run.Group-1].Material
		gross[fmt.Sprint(run.Press, material, run.WebMM)] += run.Gross
		price := press.Prices.WebPerM2
		for _, m := range press.Prices.Materials {
			if m.Material == material {
				price = m.WebPerM2
			}
		}
		if len(press.Lots) == 0 {
			want := float64(run.Frames) * run.Repeat / 1000 * run.WebMM / 1000 * price * 100
			if got := run.Parts[0]; got.Item != "web" || math.Abs(float64(got.Money)-want) > 1.01 {
				t.Errorf("%s: web for %d, %.2f is right", run.Name, got.Money, want)
			}
		}
		for _, part := range run.Parts {
			items[part.Item] += part.Money
		}
		start, end := clock(t, run.Start), clock(t, run.End)
		if before := ends[run.Press]; start.Before(before) && start.Format("15:04") != before.Format("15:04") {
			t.Errorf("%s starts at %s, before the end of another", run.Name, run.Start)
		}
		ends[run.Press] = end
		for _, at := range []time.Time{start, end} {
			if h := at.Hour()*60 + at.Minute(); h > 6*60 && h < 22*60 {
				t.Errorf("%s is printed at %s, between shifts", run.Name, at)
			}
		}
	}
	for _, o := range all {
		if made[o.ID] < o.Quantity && !left[o.ID] {
			t.Errorf("order %s: %d of %d", o.ID, made[o.ID], o.Quantity)
		}
	}
	for _, part := range s.Total.Parts {
		if items[part.Item] != part.Money {
			t.Errorf("%s: %d in all, runs have %d", part.Item, part.Money, items[part.Item])
		}
	}
	for _, x := range s.Presses {
		if byPress[x.Press] != x.Money {
			t.Errorf("%s: %d, its runs are %d", x.Press, x.Money, byPress[x.Press])
		}
	}
	if runs != s.Total.Money || sumOf(s.Total.Parts) != s.Total.Money || s.Bound.Money > s.Total.Money {
		t.Errorf("the night is %d, runs %d, items %d, bound %d", s.Total.Money, runs, sumOf(s.Total.Parts), s.Bound.Money)
	}
	for _, press := range presses {
		for _, l := range press.Lots {
			if used := gross[fmt.Sprint(press.Name, l.Material, l.Width.MM())]; l.Length > 0 && used > l.Length.Metres() {
				t.Errorf("%s: %.1f m of %s, %s, of %s", press.Name, used, l.Material, l.Width, l.Length)
			}
		}
	}
}

func clock(t testing.TB, text string) time.Time {
	t.Helper()
	at, err := time.Parse("2006-01-02T15:04", text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// TestEveryPlanByMoneyIsRight draws nights and checks each plan.
func TestEveryPlanByMoneyIsRight(t *testing.T) {
	dies := nighttest.Dies(t)
	file, err := os.ReadFile("schema/plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	schema := schemas.Schema(t, file)
	cases := trials.Number(t, "", 5, 12)
	for seed := range cases {
		rng := rand.New(rand.NewPCG(uint64(seed), 18))
		r := nighttest.MoneyRules(t)
		r.House.Dies, r.Day = dies, time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
		r.Nights = 1 + rng.IntN(3)
		presses := []*job.Press{r.House.Press, r.Presses[0]}
		if seed%3 > 0 {
			for _, p := range presses {
				p.Prices.PerOver = float64(seed) / 1000
			}
		}
		if seed%2 == 1 {
			for _, p := range presses {
				p.Lots = []job.Lot{{Width: 340 * mm, Material: "film", Length: geometry.Length(200+rng.IntN(2000)) * geometry.Metre}, {Width: 280 * mm, Material: "film", Length: 3000 * geometry.Metre}}
			}
		}
		var b strings.Builder
		b.WriteString("order,quantity,label,material,inks,winding,labels-per-roll,due,priority,flags\n")
		for i := range 4 + rng.IntN(20) {
			fmt.Fprintf(&b, "%d,%d,%s,%s,%q,out %s,%d,2026-03-0%d,%d,%s\n", i, 200+rng.IntN(20000), []string{"50x75mm", "60x40mm"}[rng.IntN(2)],
				[]string{"paper", "film"}[rng.IntN(2)], []string{"C,M,Y,K", "C,M,Y,K,Gold"}[rng.IntN(2)], []string{"top", "bottom"}[rng.IntN(2)], 1000+500*rng.IntN(3), 1+rng.IntN(r.Nights),
				max(0, rng.IntN(6)-4), []string{"", "", "", "alone", "no-split"}[rng.IntN(5)])
		}
		all := nighttest.Orders(t, b.String())
		p := made(t, all, r)
		checkMoney(t, p, all, presses, dies)
		data, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range nightFaults(data, all, r) {
			t.Errorf("case %d: %s", seed, fault)
		}
		if seed%2 == 0 && len(p.Unplanned) == 0 {
			if before := today(t, all, r); *p.Total.Money > before {
				t.Errorf("case %d: %d, the plan by web costs %d", seed, *p.Total.Money, before)
			}
		}
		text, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(doc); err != nil {
			t.Error(err)
		}
		if !strings.HasPrefix(p.ProvedFor, EveryWay) || p.By != night.Money {
			t.Errorf("proved for %q by %s", p.ProvedFor, p.By)
		}
	}
}

// TestDiesAreChosenForTheGroup: A alone takes the die of the shorter rows, which
// needs less web; B is ordered with the other. With quantities both share a run
// of that one. It was proved best at two runs of 226.5 m.
func TestDiesAreChosenForTheGroup(t *testing.T) {
	dies, err := job.ParseDies("d.csv", []byte("number,size,radius,lanes,rows,gap,station,repeat\n"+
		"01,50x75mm,3mm,6,4,3x3.5mm,flat-bed,314mm\n02,50x75mm,1mm,6,4,3x5mm,flat-bed,320mm\n"))
	if err != nil {
		t.Fatal(err)
	}
	r := nighttest.Rules()
	r.House.Dies, r.House.Label = dies, geometry.Size{}
	p := made(t, nighttest.Orders(t, "order,quantity,label,die\nA,4000,50x75mm,\nB,4000,,02\n"), r)
	// A frame is three strokes. Apart: 2 x 60 m and ceil(4000/72) = 56 frames of 942
	// and of 960 mm. Together: 60 m and ceil(4000/36) = 112 frames of 960 mm.
	if len(p.Runs) != 1 || p.Groups[0].Die != "02" || !p.Proved || p.ProvedFor != "" || math.Abs(p.Total.WebM-167.52) > 0.01 {
		t.Errorf("%d runs, die %s, %.2f m, proved %v for %q", len(p.Runs), p.Groups[0].Die, p.Total.WebM, p.Proved, p.ProvedFor)
	}
}

// TestOneNightByHand works a bill out by hand: 4,000 labels in 4 inks on the wide
// press's 340 mm of paper, 6 lanes of 12 rows.
//
//	frames      ceil(4000/72) = 56 of 938.1 mm: 52.5336 m, with 3 % waste 54.1096 m
//	web         52.5336 m x 0.34 m x 0.35 = 6.2515; waste 0.1875
//	make-ready  (40 + 4 x 2) m x 0.34 m x 0.35 = 5.7120
//	ink         52.5336 m x 0.34 m x 0.01 x 4 = 0.7145
//	press       54.1096 m / 120 m x 3.00 a minute = 1.3527
//	set-up      48 m / 120 m x 3.00 + 3 min x 3.00 + 12 = 22.2000
//	unwinder    102.1096 m / 2000 m x 5 min x 3.00 = 0.7658
//	finishing   102.1096 m / 100 m x 1.50 + 6 min x 1.50 = 10.5316
//	rolls       672 labels in each of 6 lanes: 6 part rolls of 1,000: 1.20 and 1.80
func TestOneNightByHand(t *testing.T) {
	r := nighttest.MoneyRules(t)
	r.Presses, r.FreeWeb = nil, false
	r.House.WebWidth = 340 * mm
	edge, none := 10*mm, geometry.Length(0)
	r.House.Edge, r.House.TargetLane, r.House.Bleed = &edge, &none, 1500*geometry.Micrometre
	p := made(t, nighttest.Orders(t, "order,quantity,label,material,inks,winding,labels-per-roll\nA,4000,50x75mm,paper,\"C,M,Y,K\",out top,1000\n"), r)
	want := map[Item]int64{
		ItemWeb: 625, ItemWaste: 19, ItemMakeReady: 571, ItemInk: 71, ItemPress: 135, ItemSetUp: 2220, ItemUnwinder: 77, ItemFinishing: 1053,
		ItemRolls: 120, ItemPartRolls: 180,
	}
	sum := int64(0)
	for _, part := range p.Total.Parts {
		if d := part.Money - want[part.Item]; d < -1 || d > 1 { // the run is rounded as a whole
			t.Errorf("%s: %d, by hand %d", part.Item, part.Money, want[part.Item])
		}
		sum += part.Money
	}
	if *p.Alone.Money != 5072 || *p.Alone.SavedMoney != 0 {
		t.Errorf("alone it costs %d, saved %d", *p.Alone.Money, *p.Alone.SavedMoney)
	}
	// 6.2515 + 0.1875 + 5.7120 + 0.7145 + 1.3527 + 22.2000 + 0.7658 + 10.5316 + 3.00
	if *p.Total.Money != 5072 || sum != 5072 || len(p.Total.Parts) != len(want) {
		t.Errorf("in all %d, items %d: %v", *p.Total.Money, sum, p.Total.Parts)
	}
}

// today prices the plan that has the least web of the widest web in stock, on the
// first press, each label with the die that it takes alone.
func today(tb testing.TB, all []job.Order, r *night.Rules) int64 {
	web := *r
	web.By = night.Web
	p := made(tb, all, &web)
	in, err := intake.Take(tb.Context(), all, r)
	if err != nil {
		tb.Fatal(err)
	}
	return *lay(&picked{groups: p.groups}, in, r).Total.Money
}

// TestSplicesAndOversByHand: 4,050 labels in 6 lanes of 684 are 4,104: 54 over, for
// 0.50 each 27.00. No lane fills a roll of 1,000: six part rolls or, where this
// order's may be spliced though the house's may not, four full ones and a part.
func TestSplicesAndOversByHand(t *testing.T) {
	spent := func(splices string, overs float64) (*Plan, map[Item]int64) {
		r := nighttest.MoneyRules(t)
		r.Presses, r.FreeWeb, r.House.WebWidth = nil, false, 340*mm
		edge, none := 10*mm, geometry.Length(0)
		r.House.Edge, r.House.TargetLane, r.House.Bleed, r.House.Roll.Splices = &edge, &none, 1500*geometry.Micrometre, new(false)
		r.House.Press.Prices.PerOver, r.House.Press.Prices.PerSplice = overs, 0.4
		p := made(t, nighttest.Orders(t, "order,quantity,label,material,inks,winding,labels-per-roll,splices\nA,4050,50x75mm,paper,\"C,M,Y,K\",out top,1000,"+splices+"\n"), r)
		items := map[Item]int64{}
		for _, part := range p.Total.Parts {
			items[part.Item] = part.Money
		}
		return p, items
	}
	p, items := spent("", 0.5)
	if s := p.Runs[0].Orders[0]; s.Overs != 54 || items[ItemOvers] != 2700 || s.PartRolls != 6 || items[ItemSplices] != 0 {
		t.Errorf("%d over for %d, %d part rolls", s.Overs, items[ItemOvers], s.PartRolls)
	}
	p, items = spent("yes", 0)
	if s := p.Runs[0].Orders[0]; s.Rolls != 4 || s.PartRolls != 1 || items[ItemSplices] == 0 || items[ItemOvers] != 0 || len(p.Notes) > 0 {
		t.Errorf("%d rolls, %d part rolls, splices for %d, %v", s.Rolls, s.PartRolls, items[ItemSplices], p.Notes)
	}
	if items[ItemSplices] != int64(40*p.Runs[0].Orders[0].splices) {
		t.Errorf("%d splices for %d", p.Runs[0].Orders[0].splices, items[ItemSplices])
	}
	if p, _ := spent("no", 0); p.Runs[0].Orders[0].PartRolls != 6 {
		t.Errorf("%d part rolls", p.Runs[0].Orders[0].PartRolls)
	}
}
