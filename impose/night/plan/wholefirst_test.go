package plan

import (
	"slices"
	"testing"
)

// TestWholeLanesComeFirst: of five orders two fill lanes, and two more together.
func TestWholeLanesComeFirst(t *testing.T) {
	list := []Share{{Order: "A", Stations: 18}, {Order: "B", Stations: 16}, {Order: "C", Stations: 9}, {Order: "D", Stations: 8}, {Order: "E", Stations: 6}}
	wholeFirst(list, 8)
	var names []string
	for _, s := range list {
		names = append(names, s.Order)
	}
	if want := []string{"B", "D", "A", "E", "C"}; !slices.Equal(names, want) {
		t.Errorf("%v, want %v", names, want)
	}
}
