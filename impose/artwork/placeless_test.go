package artwork

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// TestPlacelessWalksOnceForEachShowing: a form that stands at twenty places is walked
// once where it shows whole at all of them, so that operators for three walks do; one
// that is cut differently shows its other ink.
func TestPlacelessWalksOnceForEachShowing(t *testing.T) {
	var places strings.Builder
	for i := range 20 {
		fmt.Fprintf(&places, "q 1 0 0 1 %d 10 cm /F Do Q ", 10+3*i)
	}
	form := witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 4 4] /Resources << >>", strings.Repeat("1 0 0 0 k 0 0 2 4 re f ", 100)+"0 0 1 0 k 2 0 2 4 re f")
	read := func(content string, placeless bool) *Page {
		return open(t, onePage(t, "/Contents 4 0 R /Resources << /XObject << /F 5 0 R >> >>", witness.Stream("", content), form), Options{Operators: 1000, Placeless: placeless})
	}
	long := func(p *Page) bool {
		return slices.ContainsFunc(p.Findings, func(f Finding) bool { return f.Code == ContentLong })
	}
	if p := read(places.String(), true); long(p) || inkList(p) != "Cyan, Yellow" {
		t.Errorf("%s, %v", inkList(p), p.Findings)
	}
	if p := read(places.String(), false); !long(p) {
		t.Error("each place is walked only where it is asked for")
	}
	cut := "q 10 10 1 4 re W n 1 0 0 1 10 10 cm /F Do Q "
	if p := read(cut, true); inkList(p) != "Cyan, Yellow[outside]" {
		t.Errorf("cut to its left half: %s", inkList(p))
	}
	if p := read(cut+"q 1 0 0 1 30 10 cm /F Do Q", true); inkList(p) != "Cyan, Yellow" {
		t.Errorf("cut, and whole elsewhere: %s", inkList(p))
	}
}
