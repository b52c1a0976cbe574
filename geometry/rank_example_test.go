package geometry_test

import (
	"fmt"

	"quoin/geometry"
)

// wish is an order of 100,000 labels of 50 x 75 mm on a web of 340 mm.
func wish() geometry.Wish {
	const mm = geometry.Millimetre
	return geometry.Wish{
		Label: geometry.Size{Across: 50 * mm, Around: 75 * mm}, Radius: geometry.AnyRadius,
		Gap:        geometry.Size{Across: 3 * mm, Around: 3 * mm},
		EdgeMatrix: geometry.EdgeMatrix, Stripping: geometry.CommonStripping,
		Webs:     []geometry.Web{{Width: 340 * mm, Edge: 10 * mm}},
		Repeat:   geometry.Repeat{Max: 980 * mm},
		Stations: []geometry.DieStation{{Kind: geometry.FullRotary}, {Kind: geometry.Laser, Width: 250 * mm}},
		Quantity: 100_000, Terms: geometry.Terms{Setup: 60 * geometry.Metre},
	}
}

// The dies of a library come with the web that they cost, or with what speaks
// against them.
func ExampleRankDies() {
	die := geometry.Die{
		Number: "0101", Size: geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre},
		Lanes: 6, Rows: 4, Gap: geometry.Size{Across: 3 * geometry.Millimetre},
		Cylinder: geometry.Cylinder{Teeth: 100, Gear: geometry.CircularPitch(geometry.Inch / 8)}, Station: geometry.FullRotary,
	}
	blunt := die
	blunt.Number, blunt.Condition = "0102", geometry.DieSharpen
	fits, err := geometry.RankDies([]geometry.Die{blunt, die}, wish())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range fits {
		if f.Fits {
			fmt.Printf("%s: %d x %d labels, %.1f m2 of web\n", f.Die.Number, f.Across, f.Around, f.WebArea/1e6)
		}
		for _, r := range f.Reasons() {
			fmt.Printf("%s: %s\n", f.Die.Number, r.Text)
		}
	}
	// Output:
	// 0101: 6 x 12 labels, 470.2 m2 of web
	// 0102: the die is to be sharpened
}

// A laser cuts as many lanes as its station is wide, a new tool as many as the
// web takes.
func ExampleBestLaser() {
	laser, err := geometry.BestLaser(wish())
	if err != nil {
		fmt.Println(err)
		return
	}
	tools, err := geometry.RankTools([]geometry.Cylinder{{Teeth: 100, Gear: geometry.CircularPitch(geometry.Inch / 8)}}, wish())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("laser: %d lanes, %v across\n", laser.Across, laser.Layout().Block.Size().Across)
	fmt.Printf("tool: %d lanes, %v across\n", tools[0].Across, tools[0].Layout().Block.Size().Across)
	// Output:
	// laser: 4 lanes, 209 mm across
	// tool: 6 lanes, 315 mm across
}

// A full-rotary die that is no whole part of the frame walks against the print.
func ExampleWalk() {
	turns, walk := geometry.Walk(980*geometry.Millimetre, geometry.FromMM(317.5))
	fmt.Println(turns, "turns,", walk)
	// Output:
	// 3 turns, 27.5 mm
}
