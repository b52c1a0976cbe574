package plan

import (
	"strings"
	"testing"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// TestWhatHasNoPriceIsSaid: a plan that counts something as nothing says so, and
// one that counts everything so is refused.
func TestWhatHasNoPriceIsSaid(t *testing.T) {
	const orders = "order,quantity,label,material,inks\nA,4000,50x75mm,paper,\"C,M\"\n"
	r := nighttest.MoneyRules(t)
	if p := made(t, nighttest.Orders(t, orders), r); nighttest.CodeOf(p.Notes, "") != "" {
		t.Errorf("all is priced, and yet: %v", p.Notes)
	}
	wide, narrow := r.House.Press, r.Presses[0]
	wide.Prices = &job.Prices{Currency: "EUR", PerSetup: 12}
	*narrow.Prices = *wide.Prices
	p := made(t, nighttest.Orders(t, orders), r)
	if len(p.Notes) != 1 || p.Notes[0].Code != night.NoPrice || !strings.Contains(p.Notes[0].Text, "web of paper, the press's hour and the finishing line's hour") ||
		!strings.Contains(p.Notes[0].Text, "press.yaml") {
		t.Errorf("notes: %v", p.Notes)
	}
	for _, prices := range []*job.Prices{{Currency: "EUR"}, {Currency: "EUR", NewTool: 420}, nil} {
		for _, bad := range []*job.Press{wide, narrow} {
			r := nighttest.MoneyRules(t)
			h := *r.House
			w, n := *h.Press, *r.Presses[0]
			h.Press, r.Presses[0] = &w, &n
			if bad == wide {
				w.Prices = prices
			} else {
				n.Prices = prices
			}
			if err := r.SetHouse(&h, "orders.csv"); err == nil || !strings.Contains(err.Error(), "--by money needs prices, and "+bad.Name) {
				t.Errorf("%+v of %s: %v", prices, bad.Name, err)
			}
		}
	}
}
