package trials

import "testing"

func TestPasses(t *testing.T) {
	list := []int{1, 2, 3, 4, 5, 6, 7}
	for _, pass := range []struct {
		long         string
		number, each int
	}{{"", 3, 3}, {"1", 9, 7}} {
		t.Setenv("QUOIN_LONG", pass.long)
		if got := Number(t, "", 3, 9); got != pass.number {
			t.Errorf("QUOIN_LONG=%s: %d trials, want %d", pass.long, got, pass.number)
		}
		if got := len(Each(3, list)); got != pass.each {
			t.Errorf("QUOIN_LONG=%s: %d of the list, want %d", pass.long, got, pass.each)
		}
	}
	t.Setenv("QUOIN_TRIALS", "12")
	if got := Number(t, "QUOIN_TRIALS", 3, 9); got != 12 {
		t.Errorf("QUOIN_TRIALS=12: %d trials", got)
	}
}
