package plan

import (
	"encoding/json"
	"runtime"
	"testing"

	"quoin/impose/night/nighttest"
)

// TestPlanIsTheSameOnAnyCores: a great night by money, whose parts are looked for side by
// side, is planned alike on one core and on more than there are.
func TestPlanIsTheSameOnAnyCores(t *testing.T) {
	all := nighttest.MoneyOrders(t, 150)
	first := ""
	for _, cores := range []int{1, 2, 5} {
		was := runtime.GOMAXPROCS(cores)
		r := nighttest.MoneyRules(t)
		r.House.Dies = nighttest.Dies(t)
		p := made(t, all, r)
		runtime.GOMAXPROCS(was)
		data, err := json.Marshal(p)
		if err != nil || len(p.Groups) <= mostRebed {
			t.Fatalf("%d groups, %v", len(p.Groups), err)
		}
		if first == "" {
			first = string(data)
		}
		if string(data) != first {
			t.Errorf("on %d cores another plan, of %d", cores, *p.Total.Money)
		}
	}
}
