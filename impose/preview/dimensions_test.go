package preview

import (
	"fmt"
	"slices"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
)

// TestEachLaneSaysItsWidth: lanes that differ are measured one by one, from
// 31.5 mm on (339 less 40 + 55 + 2 x 80 and 3 gaps of 7 mm, halved); the gap has
// a line of its own, where its number stands on no lane's.
func TestEachLaneSaysItsWidth(t *testing.T) {
	mm := geometry.Millimetre
	var lanes []geometry.LaneLabel
	for _, across := range []geometry.Length{40, 55, 80, 80} {
		lanes = append(lanes, geometry.LaneLabel{Size: geometry.Size{Across: across * mm, Around: 60 * mm}})
	}
	l, err := geometry.PlanLanes(geometry.Request{
		Web: geometry.Web{Width: 339 * mm}, Gap: geometry.Size{Across: 7 * mm, Around: 3 * mm}, Repeat: geometry.Repeat{Max: 300 * mm},
	}, lanes)
	if err != nil {
		t.Fatal(err)
	}
	m := measures{cap: measureCap(geometry.Size{Across: l.Web.Width, Around: l.Repeat}), l: l}
	spans := map[geometry.Length][]string{} // by line
	for _, item := range dimensions(l) {
		if s, ok := item.(draw.Stroke); ok {
			if b := s.Path.Bounds(); b.Min.Around == b.Max.Around && b.Min.Around > l.Repeat {
				line := (b.Min.Around - l.Repeat) / m.step()
				spans[line] = append(spans[line], fmt.Sprint(b.Min.Across.Digits(), "-", b.Max.Across.Digits()))
			}
		}
	}
	for line, want := range [][]string{1: {"31.5-71.5", "78.5-133.5", "140.5-220.5", "227.5-307.5"}, 2: {"71.5-78.5"}, 3: {"0-339"}, 4: {"0-339"}} {
		if got := spans[geometry.Length(line)]; !slices.Equal(got, want) {
			t.Errorf("line %d has %v, want %v", line, got, want)
		}
	}
	// On the second surface the second lane stands left of the first.
	for i := range l.Station {
		b := &l.Station[i].Trim
		b.Min.Across, b.Max.Across = l.Web.Width-b.Max.Across, l.Web.Width-b.Min.Across
	}
	for _, item := range dimensions(l) {
		if s, ok := item.(draw.Stroke); ok {
			b := s.Path.Bounds()
			if between := b.Min.Around == l.Repeat+2*m.step() && b.Min.Around == b.Max.Around; between && (b.Min.Across != 2605*mm/10 || b.Max.Across != 2675*mm/10) {
				t.Errorf("the gap beside a mirrored lane is measured from %v to %v", b.Min.Across, b.Max.Across)
			}
		}
	}
}
