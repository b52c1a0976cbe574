package plan

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/night/nighttest"
)

// seenProof is what a checker of proofs reads of a plan's JSON.
type seenProof struct {
	Proved    bool
	ProvedFor string `json:"proved_for"`
	Groups    []any
	Notes     []struct{ Code, Text string }
	Runs      []struct {
		Press, Start string
		Orders       []struct {
			Order    string
			Priority int
		}
	}
}

func (s *seenProof) note() string {
	for _, n := range s.Notes {
		if n.Code == night.NotTried {
			return n.Text
		}
	}
	return ""
}

// most is the greatest number of runs that one press prints in one night and of one
// priority, which are put in order together.
func (s *seenProof) most() (n int) {
	of := map[string]int{}
	for _, run := range s.Runs {
		priority := 0
		for i, o := range run.Orders {
			if i == 0 || o.Priority > priority {
				priority = o.Priority
			}
		}
		key := fmt.Sprint(run.Press, nightOf(run.Start), priority)
		of[key]++
		n = max(n, of[key])
	}
	return n
}

// kin is the greatest number of orders of one material and label, which share beds,
// those that run alone left out.
func kin(all []job.Order) (n int) {
	of := map[string]int{}
	for _, o := range all {
		if o.Alone {
			continue
		}
		key := fmt.Sprint(o.Material, o.Label)
		of[key]++
		n = max(n, of[key])
	}
	return n
}

// TestWhatWasNotTriedIsSaid draws nights around each limit of what is tried in every
// way. A plan that is above one of them names it with its figures, unless it is proved;
// one that is below all of them says nothing.
func TestWhatWasNotTriedIsSaid(t *testing.T) {
	r := nighttest.MoneyRules(t)
	r.House.Dies, r.Day, r.Time = nighttest.Dies(t), day(1), r.Time/20
	told := map[string]int{}
	for _, n := range []int{3, 8, 9, 24, 44} {
		rng := rand.New(rand.NewPCG(uint64(n), 5))
		var b strings.Builder
		b.WriteString("order,quantity,label,material,inks,winding,due,flags\n")
		for i := range n {
			size := []string{"50x75mm", "60x40mm", "40x40mm", "80x60mm"}[rng.IntN(4)]
			if n == 24 {
				size = "50x75mm" // of one kin
			}
			fmt.Fprintf(&b, "%d,%d,%s,%s,%q,out top,2026-03-01,%s\n", i, 200+rng.IntN(9000), size, []string{"paper", "film"}[rng.IntN(2)], []string{"C,M,Y,K", "C,M,Y,K,Gold", "C,M,Y,K,Leaf"}[rng.IntN(3)], map[bool]string{true: "alone"}[n > 40 && i%2 == 0])
		}
		all := nighttest.Orders(t, b.String())
		text, err := json.Marshal(made(t, all, r))
		if err != nil {
			t.Fatal(err)
		}
		var s seenProof
		if err := json.Unmarshal(text, &s); err != nil {
			t.Fatal(err)
		}
		note := s.note()
		for _, c := range []struct {
			above bool
			says  string
		}{
			{n > 8, fmt.Sprintf("every plan of %d orders (of 8 at most)", n)},
			{kin(all) > 10, fmt.Sprintf("inks of %d orders that might share runs (of 10 at most)", kin(all))},
			{len(s.Groups) > 16, fmt.Sprintf("in sight, of %d groups (of 16 at most)", len(s.Groups))},
			{s.most() > 11, fmt.Sprintf("the sequence of %d runs of", s.most())},
		} {
			if got := strings.Contains(note, c.says); got != (c.above && !s.Proved) {
				t.Errorf("%d orders, proved %v: said %v, above %v: %q in %q", n, s.Proved, got, c.above, c.says, note)
			} else if got {
				told[c.says[:8]]++
			}
		}
		if n <= 8 && note != "" {
			t.Errorf("%d orders: %q", n, note)
		}
	}
	if len(told) < 4 {
		t.Errorf("not every limit was passed: %v", told)
	}
}

// noteOn plans orders and returns what is said to be not tried, and whether the plan
// is proved.
func noteOn(t *testing.T, list string, r *night.Rules) (note string, proved bool) {
	t.Helper()
	text, err := json.Marshal(made(t, nighttest.Orders(t, list), r))
	if err != nil {
		t.Fatal(err)
	}
	var s seenProof
	if err := json.Unmarshal(text, &s); err != nil {
		t.Fatal(err)
	}
	return s.note(), s.Proved
}

// TestMixesOfInksThatWereNotTried: of six kinds of inks all mixes are tried, of more
// none but those that pay one by one.
func TestMixesOfInksThatWereNotTried(t *testing.T) {
	for _, kinds := range []int{6, 7} {
		r := nighttest.MoneyRules(t)
		r.House.Dies, r.Time = nighttest.Dies(t), r.Time/20
		list := "order,quantity,label,material,inks,winding\n"
		for i := range 21 {
			list += fmt.Sprintf("%d,%d,50x75mm,paper,\"C,M,Y,K,Spot %d\",out top\n", i, 700+911*i%5000, i%kinds)
		}
		note, proved := noteOn(t, list, r)
		if proved {
			t.Fatalf("%d kinds: proved, which says nothing of what was tried", kinds)
		}
		if got := strings.Contains(note, fmt.Sprintf("mixes of %d kinds of inks (of 6 at most)", kinds)); got != (kinds > 6) {
			t.Errorf("%d kinds: said %v: %q", kinds, got, note)
		}
	}
}

// TestDaysThatWereNotTried: up to 300 orders of a press that has too few hours are planned
// by their days in two ways, and more in one, which is said.
func TestDaysThatWereNotTried(t *testing.T) {
	r := nighttest.MoneyRules(t)
	busy := &Plan{By: night.Money, rules: r, Late: []LateRun{{}}, tables: []*table{{press: r.House.Press}}, Presses: []PressPart{{BusyMin: 2, HoursMin: 1}}}
	for _, n := range []int{300, 301} {
		in := &intake.Taken{Orders: make([]*intake.Order, n)}
		ways := len((&keeping{in: in, rules: r}).scarce(busy))
		said := strings.Contains(strings.Join(untried{busy, in}.times(), "; "), fmt.Sprintf("plans by the days of %d orders (in one way only above 300)", n))
		if said != (n > 300) || (ways == 1) != said {
			t.Errorf("%d orders: planned in %d ways, said %v", n, ways, said)
		}
	}
}

// TestProofNamesTheEarlyOrders: which later orders are printed early is weighed by short
// searches, so that no plan is proved best of all that could be printed.
func TestProofNamesTheEarlyOrders(t *testing.T) {
	const list = "order,quantity,material,due\nA,6000,film,2026-03-01\nB,1200,film,2026-03-02\n"
	r := nighttest.Rules()
	r.Day = day(1)
	for early, want := range []string{"", TheseOrders} {
		r.Early = early
		if p := made(t, nighttest.Orders(t, list), r); !p.Proved || p.ProvedFor != want {
			t.Errorf("%d days early: proved %v for %q, want %q", early, p.Proved, p.ProvedFor, want)
		}
	}
	m := nighttest.MoneyRules(t)
	m.House.Dies, m.Day, m.Early = nighttest.Dies(t), day(1), 1
	p := made(t, nighttest.Orders(t, "order,quantity,label,material,inks,winding,due\nA,6000,50x75mm,film,\"C,M\",out top,2026-03-01\nB,1200,50x75mm,film,\"C,M\",out top,2026-03-02\n"), m)
	if p.ProvedFor != TheseOrders+", "+EveryWay {
		t.Errorf("by money proved for %q", p.ProvedFor)
	}
	// Above a dozen of one kind they are tried in lots.
	for _, n := range []int{12, 13} {
		text := "order,quantity,material,due\nA,6000,film,2026-03-01\n"
		for i := range n {
			text += fmt.Sprintf("B%d,%d,film,2026-03-02\n", i, 800+37*i)
		}
		p := made(t, nighttest.Orders(t, text), r)
		if got := noted(p, "", night.NotTried); got != (n > fewEarly) {
			t.Errorf("%d early orders: said %v, %v", n, got, p.Notes)
		}
	}
}

// TestLatePlansAreProvedInMoneyAlone: a press that prints for ten minutes of a night is
// late with one of two orders. Whether that could be otherwise nothing proves.
func TestLatePlansAreProvedInMoneyAlone(t *testing.T) {
	m := nighttest.MoneyRules(t)
	m.House.Dies, m.Presses, m.Day = nighttest.Dies(t), nil, day(1)
	all := nighttest.Orders(t, "order,quantity,label,material,inks,winding,due\nA,20000,50x75mm,film,\"C,M\",out top,2026-03-01\nB,20000,60x40mm,paper,\"C,M\",out top,2026-03-01\n")
	for minutes, want := range map[int]string{480: EveryWay, 10: EveryWay + ", " + InMoney} {
		m.House.Press.Shifts = []job.Shift{{From: 22 * 60, To: (22*60 + minutes) % (24 * 60)}}
		if p := made(t, all, m); p.ProvedFor != want || (len(p.Late) > 0) != (minutes < 480) {
			t.Errorf("%d minutes: %d late, proved for %q, want %q", minutes, len(p.Late), p.ProvedFor, want)
		}
	}
}
