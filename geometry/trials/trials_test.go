package trials

import (
	"testing"

	"pgregory.net/rapid"
)

func TestPasses(t *testing.T) {
	if testing.Short() {
		t.Skip("rapid draws a fifth then")
	}
	list := []int{1, 2, 3, 4, 5, 6, 7}
	for _, pass := range []struct {
		long                  string
		number, each, checked int
	}{{"", 3, 3, 5}, {"1", 9, 7, 100}} {
		t.Setenv("QUOIN_LONG", pass.long)
		if got := Number(t, "", 3, 9); got != pass.number {
			t.Errorf("QUOIN_LONG=%s: %d trials, want %d", pass.long, got, pass.number)
		}
		if got := len(Each(3, list)); got != pass.each {
			t.Errorf("QUOIN_LONG=%s: %d of the list, want %d", pass.long, got, pass.each)
		}
		drawn := 0
		Check(t, 5, func(*rapid.T) { drawn++ })
		if drawn != pass.checked {
			t.Errorf("QUOIN_LONG=%s: %d draws, want %d", pass.long, drawn, pass.checked)
		}
	}
	t.Setenv("QUOIN_TRIALS", "12")
	if got := Number(t, "QUOIN_TRIALS", 3, 9); got != 12 {
		t.Errorf("QUOIN_TRIALS=12: %d trials", got)
	}
}
