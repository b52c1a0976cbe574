package plan

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
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
		Rows                         int
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
	cases := 12
	if testing.Short() {
		cases = 4
	}
	for seed := range cases {
		rng := rand.New(rand.NewPCG(uint64(seed), 18))
		r := nighttest.MoneyRules(t)
		r.House.Dies, r.Day = dies, time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
		r.Nights = 1 + rng.IntN(3)
		presses := []*job.Press{r.House.Press, r.Presses[0]}
		if seed%2 == 1 {
			for _, p := range presses {
				p.Lots = []job.Lot{{Width: 340 * mm, Material: "film", Length: geometry.Length(200+rng.IntN(2000)) * geometry.Metre}, {Width: 280 * mm, Material: "film", Length: 3000 * geometry.Metre}}
			}
		}
		var b strings.Builder
		b.WriteString("order,quantity,label,material,inks,winding,labels-per-roll,due,priority,flags\n")
		for i := range 4 + rng.IntN(20) {
			fmt.Fprintf(&b, "%d,%d,%s,%s,%q,out top,%d,2026-03-0%d,%d,%s\n", i, 200+rng.IntN(20000), []string{"50x75mm", "60x40mm"}[rng.IntN(2)],
				[]string{"paper", "film"}[rng.IntN(2)], []string{"C,M,Y,K", "C,M,Y,K,Gold"}[rng.IntN(2)], 1000+500*rng.IntN(3), 1+rng.IntN(r.Nights),
				max(0, rng.IntN(6)-4), []string{"", "", "", "alone", "no-split"}[rng.IntN(5)])
		}
		all := nighttest.Orders(t, b.String())
		p := made(t, all, r)
		checkMoney(t, p, all, presses, dies)
		if p.ProvedFor != EveryWay || p.By != night.Money {
			t.Errorf("proved for %q by %s", p.ProvedFor, p.By)
		}
	}
}
