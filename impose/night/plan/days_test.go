package plan

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/geometry/schedule"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// daysRules are those of nights from 2 March 2026 on with the die room.
func daysRules(t *testing.T, nights int) *night.Rules {
	r := nighttest.MoneyRules(t)
	r.House.Dies, r.Nights, r.Day = nighttest.Dies(t), nights, time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)
	return r
}

// TestRunsGoToThePressThatHasHours: two orders due tonight cost least on the wide
// press, which takes them one after the other and is late with the second. The narrow
// one stands idle, and prints one of them for more money.
//
//	A  2,200,000 labels on 5 lanes of 8 rows: 55,000 frames of 0.64 m, with 3 % 36.3 km
//	   36,300 m at 120 m/min and 18.1 roll changes of 5 min: 393 min of 480
//	B  900,000 as well: 22,500 frames, 14.8 km, 161 min; at 60 m/min 284 min
func TestRunsGoToThePressThatHasHours(t *testing.T) {
	all := nighttest.Orders(t, "order,quantity,label,material,inks,due\nA,2200000,50x75mm,paper,\"C,M,Y,K\",2026-03-02\nB,900000,50x75mm,film,\"C,M,Y,K\",2026-03-02\n")
	p := made(t, all, daysRules(t, 1))
	on := map[string]int{}
	for _, run := range p.Runs {
		on[run.Press]++
		if run.End > "2026-03-03T06:00" || run.LateMin > 0 {
			t.Errorf("%s ends at %s, %g min late", run.Name, run.End, run.LateMin)
		}
	}
	if len(on) != 2 || len(p.Late) > 0 {
		t.Errorf("runs by press: %v; late: %v", on, p.Late)
	}
	d := p.Days
	if d == nil || d.CheapestOrders != 1 || d.LateOrders != 0 || d.Money <= 0 || d.CheapestMoney+d.Money != *p.Total.Money {
		t.Fatalf("kept for %+v of %d", d, *p.Total.Money)
	}
	// With no day to keep, the plan of least money is that which is named.
	for i := range all {
		all[i].Due = time.Time{}
	}
	if least := made(t, all, daysRules(t, 1)); *least.Total.Money != d.CheapestMoney || least.Days != nil {
		t.Errorf("without days it costs %d, said %d", *least.Total.Money, d.CheapestMoney)
	}
}

// TestRunsPartByTheirDays: a few labels due tonight share the frames of a long order
// due tomorrow, which ends after 6:00 whatever is done. By themselves they are printed
// tonight, and the others tomorrow.
func TestRunsPartByTheirDays(t *testing.T) {
	all := nighttest.Orders(t, "order,quantity,label,material,inks,due\nlong,2240000,50x75mm,paper,\"C,M,Y,K\",2026-03-03\n"+
		"short,560000,50x75mm,paper,\"C,M,Y,K\",2026-03-02\n")
	r := daysRules(t, 2)
	r.Presses = nil
	p := made(t, all, r)
	if len(p.Late) > 0 || p.Days == nil || p.Days.CheapestOrders == 0 {
		t.Fatalf("late: %+v; %+v", p.Late, p.Days)
	}
	for _, run := range p.Runs {
		for _, s := range run.Orders {
			if s.Order == "short" && run.End > "2026-03-03T06:00" || s.Order == "long" && run.Start >= "2026-03-04T06:00" {
				t.Errorf("%s with %s from %s to %s", run.Name, s.Order, run.Start, run.End)
			}
		}
	}
}

// TestLateFilmTakesItsChangesAlong: of three nights of 17 minutes the film is late, which
// takes twelve with the change to it and makes eight more for the paper behind it. Put off,
// it needs neither in between, and all paper keeps its days.
func TestLateFilmTakesItsChangesAlong(t *testing.T) {
	list := "order,quantity,label,material,inks,winding,due,priority\n"
	for i, line := range []string{"4000,film,3,0", "16000,paper,2,5", "9000,paper,3,5", "30000,paper,2,0", "16000,paper,4,0", "9000,paper,2,0", "4000,film,2,0",
		"16000,paper,4,0", "16000,paper,3,0", "9000,paper,2,0", "16000,paper,4,0", "16000,paper,4,5", "9000,paper,3,0", "16000,paper,3,5"} {
		var x [4]string
		copy(x[:], strings.Split(line, ","))
		list += fmt.Sprintf("%d,%s,50x75mm,%s,\"C,M,Y,K,Gold\",out top,2026-03-0%s,%s\n", i, x[0], x[1], x[2], x[3])
	}
	dies, err := job.ParseDies("d.csv", []byte("number,size,radius,lanes,rows,gap,repeat,station\n02,50x75mm,3mm,6,8,3x3.175mm,625.4mm,full-rotary\n"))
	if err != nil {
		t.Fatal(err)
	}
	r := daysRules(t, 3)
	r.House.Dies, r.Presses = dies, nil
	r.House.Press.Shifts = []job.Shift{{From: 22 * 60, To: 22*60 + 12}, {From: 23 * 60, To: 23*60 + 5}}
	p := made(t, nighttest.Orders(t, list), r)
	var late []string
	for _, l := range p.Late {
		late = append(late, l.Names...)
	}
	slices.Sort(late)
	if !slices.Equal(late, []string{"0", "6"}) {
		t.Errorf("late: %v; %+v", late, p.Days)
	}
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range nightFaults(text, nighttest.Orders(t, list), r) {
		t.Error(fault)
	}
}

// TestManyOrdersKeepTheirDays: nights that two presses have hours for are not late,
// and the plan of least money would be.
func TestManyOrdersKeepTheirDays(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	all := nighttest.MoneyOrders(t, 60)
	var some []job.Order
	for i, o := range all {
		if o.Label.Across == 50*geometry.Millimetre || o.Label.Across == 40*geometry.Millimetre || o.Label.Across == 70*geometry.Millimetre {
			o.Quantity *= 16
			o.Due = time.Date(2026, 3, 2+i%2, 0, 0, 0, 0, time.UTC)
			some = append(some, o)
		}
	}
	r := daysRules(t, 2)
	p := made(t, some, r)
	checkMoney(t, p, some, append([]*job.Press{r.House.Press}, r.Presses...), r.House.Dies)
	if p.Days == nil || p.Days.CheapestOrders == 0 || p.Days.LateOrders > 0 || LateOrders(p.Late) > 0 {
		t.Errorf("%d orders: %+v, %d late", len(some), p.Days, LateOrders(p.Late))
	}
}

// TestDecideKeepsAsManyDaysAsItCan compares with trying every set of runs of one day:
// with equal weights the choice is the best, as Moore proves.
func TestDecideKeepsAsManyDaysAsItCan(t *testing.T) {
	for seed := range 300 {
		c := drawExact(seed)
		all, due := make([]chore, 0, 10), int64(0)
		for i := range 3 + seed%7 {
			ticks := int64(1 + (c.orders[i%len(c.orders)].quantity*(i+3))%97)
			due += ticks
			all = append(all, chore{ticks: ticks})
		}
		due = due * int64(1+seed%3) / 4
		for i := range all {
			all[i].dues = []schedule.Due{{At: due, Weight: 1}}
		}
		best := math.MaxInt
		for set := range 1 << len(all) {
			load, missed := int64(0), 0
			for i := range all {
				if set>>i&1 == 1 {
					load += all[i].ticks
				} else {
					missed++
				}
			}
			if load <= due {
				best = min(best, missed)
			}
		}
		if v := decide(all, 0); v.missed != int64(best) {
			t.Errorf("case %d: %d missed, %d is the least", seed, v.missed, best)
		}
	}
}
