package plan

import (
	"testing"

	"quoin/geometry"
	"quoin/impose/night/nighttest"
)

// TestANamedWebRunsOnNoPressThatIsTooNarrowForIt names the web of a night with a press
// that takes it and one that doesn't: that one prints nothing.
func TestANamedWebRunsOnNoPressThatIsTooNarrowForIt(t *testing.T) {
	all := nighttest.MoneyOrders(t, 30)
	on := map[string]int{}
	for _, web := range []geometry.Length{250 * mm, 340 * mm} {
		r := nighttest.MoneyRules(t)
		r.House.Dies, r.House.WebWidth, r.FreeWeb = nighttest.Dies(t), web, false
		p := made(t, all, r)
		for _, press := range presses(r) {
			for _, x := range p.Runs {
				if x.Press == press.Name && !press.Takes(web) {
					t.Errorf("%s: %s takes %s to %s, the web is %s", x.Name, press.Name, press.WebMin, press.WebMax, web)
				}
			}
		}
		for _, x := range p.Runs {
			if on[x.Press]++; x.WebMM != web.MM() {
				t.Errorf("%s: %g mm, not %s", x.Name, x.WebMM, web)
			}
		}
		if len(p.Runs) == 0 {
			t.Errorf("nothing is printed on %s", web)
		}
	}
	if len(on) != 2 {
		t.Errorf("runs by press: %v, not on both", on)
	}
}
