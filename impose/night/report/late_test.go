package report

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"quoin/impose/night/plan"
)

// TestManyLateRunsAreSummedUp: of fifteen late runs on two presses each day of a
// press is one line, the latest twelve follow, each run says it itself, and the page
// folds the list.
func TestManyLateRunsAreSummedUp(t *testing.T) {
	money := int64(100)
	p := &plan.Plan{MoneyUnit: 0.01, Currency: "EUR", Groups: []plan.GroupPart{{Group: 1}}}
	p.Total.Money, p.Bound.Money = &money, &money
	p.Alone.Money, p.Alone.SavedMoney = &money, &money
	for i := range 15 {
		name, late, press := fmt.Sprintf("run-%03d", i+1), float64(1500-100*i), []string{"wide", "narrow"}[i%2]
		p.Runs = append(p.Runs, plan.Run{Name: name, Press: press, Group: 1, Start: "2026-03-03T21:50", End: "2026-03-03T22:00", LateMin: late, Money: &money})
		p.Late = append(p.Late, plan.LateRun{Run: name, Orders: 2, Due: "2026-03-02", End: "2026-03-03T22:00", LateMin: late, Saves: "more hours",
			Names: []string{"split", fmt.Sprint("A", i)}})
	}
	said := text(t, p)
	for _, want := range []string{
		"; 16 orders late\n\nLate: 16 orders in 15 runs, by 1,500 min at most\n",
		"    wide, due 2026-03-02: 8 runs, 9 orders (split, A0, A2, A4, A6, A8, A10, A12, A14), the last, run-001, ends 2026-03-03 22:00, 1,500 min late: more hours\n",
		"    narrow, due 2026-03-02: 7 runs, 8 orders (",
		"The latest 12:\n    run-001 ",
		"2026-03-03 22:00, 100 min late, 1.00 EUR",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("nothing says %q:\n%s", want, said)
		}
	}
	if n := strings.Count(said, "more hours"); n != 2+12 {
		t.Errorf("what saves late runs is said %d times", n)
	}
	var page bytes.Buffer
	if err := HTML(&page, p); err != nil {
		t.Fatal(err)
	}
	if s := page.String(); strings.Count(s, "<details>") != 1 || strings.Count(s, "</details>") != 1 || !strings.Contains(s, "<td>narrow</td>") && !strings.Contains(s, `<th scope="row">narrow</th>`) || !strings.Contains(s, `2026-03-03</span> 22:00, 100 min late</td>`) {
		t.Errorf("the page doesn't sum up what is late:\n%s", s)
	}
	p.Presses = []plan.PressPart{{Press: "wide", BusyMin: 700, HoursMin: 480}, {Press: "narrow", BusyMin: 400, HoursMin: 480}}
	if want := "by 1,500 min at most; all runs take 1,100 min, and the presses have 960 in these nights"; LateInAll(p) != "16 orders in 15 runs, "+want {
		t.Error(LateInAll(p))
	}
	p.Late = p.Late[:3]
	if said = text(t, p); strings.Contains(said, "The latest") || strings.Count(said, "more hours") != 3 {
		t.Errorf("few late runs are summed up:\n%s", said)
	}
}

// TestKeptPlanSaysWhyItsGapIsWide: what is kept for the sake of few changes is no
// plan made anew, and the first line says so.
func TestKeptPlanSaysWhyItsGapIsWide(t *testing.T) {
	money, bound := int64(1550), int64(1000)
	p := &plan.Plan{MoneyUnit: 0.01, Currency: "EUR", GapPercent: 55, Replan: &plan.Replan{MadeAnew: 1200}}
	p.Total.Money, p.Bound.Money, p.Total.Runs = &money, &bound, 1
	if got := Glance(p); !strings.HasSuffix(got, "at most 55.00 % above the best, as what was planned is kept (3.50 EUR less planned anew)") {
		t.Error(got)
	}
	p.Replan.Anew = true
	if got := Glance(p); strings.Contains(got, "kept") {
		t.Error(got)
	}
}

// TestWhatDueDaysCostIsSaid: text and page say in one line what the other plan cost, and
// how late it would have been.
func TestWhatDueDaysCostIsSaid(t *testing.T) {
	money := int64(10000)
	p := &plan.Plan{MoneyUnit: 0.01, Currency: "EUR", Days: &plan.Days{CheapestMoney: 9000, CheapestOrders: 7, CheapestMin: 123.4, Money: 1000}}
	p.Total.Money, p.Bound.Money = &money, &money
	want := "Due days come before money: no order is late, which costs 10.00 EUR more; the plan of least money is 90.00 EUR, with 7 orders late, their runs 123 min in all."
	if said := text(t, p); !strings.Contains(said, "\n\n"+want+"\n\n") {
		t.Errorf("nothing says %q:\n%s", want, said)
	}
	var page bytes.Buffer
	if err := HTML(&page, p); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(page.String(), want) {
		t.Errorf("the page doesn't say %q:\n%s", want, page.String())
	}
	p.Days.LateOrders, p.Days.Money = 2, -5
	if got := DaysKept(p); !strings.HasPrefix(got, "Due days come before money: 2 orders late, which costs no more; ") {
		t.Error(got)
	}
}

// TestRunsBrokenOffSayIt: a run that begins in one night and ends in another.
func TestRunsBrokenOffSayIt(t *testing.T) {
	for _, c := range []struct {
		from, to string
		late     float64
		want     string
	}{
		{"2026-03-02T22:00", "2026-03-03T05:59", 0, ""},
		{"2026-03-03T05:50", "2026-03-03T22:10", 0, "broken off by the end of a night"},
		{"2026-03-03T05:50", "2026-03-03T22:10", 12, "broken off by the end of a night, 12 min late"},
		{"night 1 23:00", "night 1 23:50", 3, "3 min late"},
		{"", "", 0, ""},
	} {
		if got := overtime(&plan.Run{Start: c.from, End: c.to, LateMin: c.late}); got != c.want {
			t.Errorf("%s to %s: %q, want %q", c.from, c.to, got, c.want)
		}
	}
}
