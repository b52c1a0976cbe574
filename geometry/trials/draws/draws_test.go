package draws

import (
	"testing"

	"pgregory.net/rapid"
)

func TestPasses(t *testing.T) {
	if testing.Short() {
		t.Skip("rapid draws a fifth then")
	}
	for long, want := range map[string]int{"": 5, "1": 100} {
		t.Setenv("QUOIN_LONG", long)
		drawn := 0
		Check(t, 5, func(*rapid.T) { drawn++ })
		if drawn != want {
			t.Errorf("QUOIN_LONG=%s: %d draws, want %d", long, drawn, want)
		}
	}
}
