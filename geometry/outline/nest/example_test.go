package nest_test

import (
	"fmt"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/geometry/outline/nest"
)

// Circles of 40 mm on a web of 330 mm.
func ExamplePlan() {
	circle, err := outline.Circle(40 * geometry.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	found, err := nest.Plan(nest.Request{
		Web: geometry.Web{Width: 330 * geometry.Millimetre}, Shape: circle,
		Gap:    geometry.Size{Across: 3 * geometry.Millimetre, Around: 3 * geometry.Millimetre},
		Repeat: geometry.Repeat{Max: 980 * geometry.Millimetre},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(found.Compare(found.Best()))
	fmt.Println(found.Best().Seam())
	// Output:
	// staggered rows hold 189 labels on 971.406 mm, 19.5 % more to the metre than the straight grid with 154 labels on 946 mm
	// 9 labels stand across the seam: frames must join without a step
}
