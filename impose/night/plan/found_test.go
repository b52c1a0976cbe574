package plan

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"quoin/impose/night/nighttest"
)

// TestSearchOfAnEarlierStartIsTakenOver: a night that was broken off behind its
// search returns the same plan without searching, whatever a search would find.
func TestSearchOfAnEarlierStartIsTakenOver(t *testing.T) {
	dir, all, r := nighttest.Desk(t, nighttest.DeskOrders)
	place := filepath.Join(dir, "night")
	f := nighttest.Folder(t, place)
	first, err := Make(t.Context(), all, r, f)
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	searched := false
	r.Tell = func(stage string, _, _ int) { searched = searched || stage == "groups proved" }
	g := nighttest.Folder(t, place)
	second, err := Make(t.Context(), all, r, g)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := marshal(t, first), marshal(t, second); a != b || searched {
		t.Errorf("searched again: %v\n%s\n%s", searched, a, b)
	}
	// What doesn't suit the orders is not believed.
	g.Close()
	h := nighttest.Folder(t, place)
	all[0].Quantity *= 3
	third, err := Make(t.Context(), all, r, h)
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, third, all)
	if !searched {
		t.Error("the search of other orders was taken over")
	}
}

func marshal(t *testing.T, p *Plan) string {
	t.Helper()
	b, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
