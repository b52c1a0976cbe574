package plan

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"quoin/impose/night/nighttest"
)

// TestOtherPressIsOfferedOnlyInTime: two nights of hours on the narrow press save
// nobody whose orders are due in the first, unless they are free in that one.
func TestOtherPressIsOfferedOnlyInTime(t *testing.T) {
	var b strings.Builder
	b.WriteString("order,quantity,label,material,inks,due\n")
	for i := range 30 {
		fmt.Fprintf(&b, "A%d,%d,90x120mm,film,\"C,M,Y,K,White\",2026-03-02\n", i, 90000+7000*i)
	}
	r := nighttest.MoneyRules(t)
	r.House.Dies, r.Day, r.Nights = nighttest.Dies(t), time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC), 3
	p := made(t, nighttest.Orders(t, b.String()), r)
	if len(p.Late) == 0 {
		t.Fatal("nothing is late")
	}
	ends := time.Date(2026, 3, 3, 6, 0, 0, 0, time.UTC) // of the night that all are due in
	for _, l := range p.Late {
		for _, x := range p.Presses {
			if !strings.Contains(l.Saves, "or "+x.Press) {
				continue
			}
			busy := 0.0
			for _, run := range p.Runs {
				if start := clock(t, run.Start); run.Press == x.Press && start.Before(ends) {
					busy += min(ends.Sub(start).Minutes(), clock(t, run.End).Sub(start).Minutes())
				}
			}
			var said float64
			fmt.Sscanf(strings.ReplaceAll(l.Saves[strings.Index(l.Saves, "which has ")+len("which has "):], ",", ""), "%f", &said)
			if left := 8*60 - busy; said > left+2 || left < 0 {
				t.Errorf("%s: %s; %s has %.0f minutes left in that night", l.Run, l.Saves, x.Press, left)
			}
		}
	}
}
