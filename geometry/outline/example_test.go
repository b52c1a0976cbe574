package outline_test

import (
	"fmt"
	"math"

	"quoin/geometry"
	"quoin/geometry/outline"
)

func at(across, around geometry.Length) geometry.Position {
	return geometry.Position{Across: across * geometry.Millimetre, Around: around * geometry.Millimetre}
}

// A shield: a rectangle with a point at its foot.
func ExamplePolygon() {
	shield, err := outline.New(outline.Polygon(at(0, 0), at(40, 0), at(40, 40), at(20, 60), at(0, 40)))
	if err != nil {
		fmt.Println(err)
		return
	}
	bleed, err := shield.Outset(2 * geometry.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%v, %.0f mm2; with bleed %v\n", shield.Bounds().Size(), shield.Area(), bleed.Bounds().Size().Across)
	// Output:
	// 40 x 60 mm, 2000 mm2; with bleed 44 mm
}

// Two cuts are compared by their lines, not by how they are drawn.
func ExampleCompare() {
	size := geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre}
	label, err := outline.Rectangle(size, 3*geometry.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	die, err := outline.Rectangle(size, 2*geometry.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	m := outline.Compare(label, die)
	fmt.Printf("they differ by %.2f mm, and by %.2f mm2 in area\n", m.Deviation.MM(), die.Area()-label.Area())
	// Output:
	// they differ by 0.41 mm, and by 4.29 mm2 in area
}

// The distance between two labels is that of their lines, not of their boxes.
func ExampleGauge_Separation() {
	circle, err := outline.Circle(40 * geometry.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	next := circle.Moved(geometry.Size{Across: 30 * geometry.Millimetre, Around: 40 * geometry.Millimetre})
	apart := outline.NewGauge(circle).Separation(outline.NewGauge(next), geometry.Size{}, math.Inf(1))
	fmt.Println(geometry.Length(math.Round(apart)))
	// Output:
	// 10 mm
}
