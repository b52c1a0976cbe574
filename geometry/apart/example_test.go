package apart_test

import (
	"fmt"

	"quoin/geometry/apart"
)

// Three squares of 10 around on a frame of 33.5: the last and the first of the
// next frame stand nearest.
func ExampleMeasure() {
	square := apart.New([]apart.Point{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 10}, {X: 0, Y: 10}})
	labels := []apart.Placed{{Shape: square}, {Shape: square, By: apart.Point{Y: 11.5}}, {Shape: square, By: apart.Point{Y: 23}}}
	least := apart.Measure(labels, 33.5, 5)
	fmt.Printf("%.1f apart, %d and %d, across the seam: %t, overlap %.0f\n", least.Distance, least.A, least.B, least.Next, least.Area)
	// Output:
	// 0.5 apart, 2 and 0, across the seam: true, overlap 0
}
