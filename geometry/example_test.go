package geometry_test

import (
	"fmt"

	"quoin/geometry"
)

// Labels of 50 x 75 mm on a web of 340 mm.
func ExamplePlan() {
	layout, err := geometry.Plan(geometry.Request{
		Web:    geometry.Web{Width: 340 * geometry.Millimetre, Edge: 10 * geometry.Millimetre},
		Label:  geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre},
		Gap:    geometry.Size{Across: 3 * geometry.Millimetre, Around: geometry.Inch / 8},
		Repeat: geometry.Repeat{Max: 980 * geometry.Millimetre},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	run, err := layout.PlanRun(
		[]geometry.Demand{{Quantity: 100_000, Places: layout.Labels()}},
		geometry.Terms{Setup: 60 * geometry.Metre, RunWaste: 3 * geometry.Percent, Speed: 120 * geometry.Metre})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d across, %d around on a frame of %v\n", layout.Across, layout.Around, layout.Repeat)
	fmt.Printf("%d frames, %.3f m, %.3f min\n", run.Frames, run.Gross.Metres(), run.Minutes)
	// Output:
	// 6 across, 12 around on a frame of 938.1 mm
	// 1389 frames, 1402.112 m, 11.684 min
}

// What does not fit says why, and what would.
func ExamplePlan_refused() {
	_, err := geometry.Plan(geometry.Request{
		Web:    geometry.Web{Width: 340 * geometry.Millimetre, Edge: 10 * geometry.Millimetre},
		Label:  geometry.Size{Across: 330 * geometry.Millimetre, Around: 75 * geometry.Millimetre},
		Repeat: geometry.Repeat{Max: 980 * geometry.Millimetre},
	})
	fmt.Println(err)
	fmt.Println(err.(*geometry.NotFitError).Hint())
	// Output:
	// does not fit: one lane with 0 mm bleed on both sides needs 330 mm across, the band gives 320 mm
	// turned to 90 degrees it fits 4 across and 2 around; a label of up to 320 mm across would fit; a web of 350 mm would take it
}

// A number for the winding means opposite things on two published charts.
func ExampleParseWinding() {
	_, err := geometry.ParseWinding("4")
	fmt.Println(err)
	fmt.Println(err.(*geometry.NotationError).Hint())
	w, _ := geometry.ParseWinding("top-first 4")
	turn, _ := w.Turn(geometry.Route{Windings: 2})
	fmt.Printf("%v: turn to %v degrees\n", w, turn)
	// Output:
	// "4" is a number without its chart
	// published charts disagree: 4 is "face out, left leads" on one and "face out, right leads" on another; write the words, or "top-first 4" or "bottom-first 4"
	// face out, left leads: turn to 270 degrees
}
