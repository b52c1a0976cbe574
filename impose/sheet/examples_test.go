package sheet

import (
	"fmt"

	"quoin/impose/sheet/typeset"
	"quoin/impose/summary"
)

// example makes the content of a job of so many lanes, each with a product of
// its own, without any file.
func example(lanes, inkCount int, names []string) *Content {
	s := &summary.Summary{
		Job: names[0],
		Layout: summary.Layout{Across: lanes, Around: 12, Labels: 12 * lanes, LabelMM: [2]float64{300/float64(lanes) - 3, 75},
			WebMM: 340, BandMM: 318, RepeatMM: 938.1, GapAcrossMM: 3, GapAroundMM: 3.175, BleedMM: 1.2},
		Run: summary.Usage{Ordered: int64(lanes) * 16000, Labels: int64(lanes) * 17004, Frames: 1417, WebGrossM: 1429.2, WebNetM: 1329.3,
			SetupM: 60, SpeedMPerMin: 60, PressMin: 23.8, YieldPercent: 71.4},
		Winding: &summary.Winding{Face: "in", Leading: "left", Text: "face in, left leads",
			Words: "The print is on the inside of the roll; the label's left edge comes off first.", Windings: 2},
	}
	c := &Content{Summary: s, Press: "six-station digital web press", Material: []string{"clear film, film, 60 µm"},
		Shape: "rectangle, corners 2 mm", Splices: "NOT allowed", Marks: []string{"Register crosses of 5 mm", "Slit ticks"}}
	wide := s.Layout.LabelMM[0]
	for i := range lanes {
		lane := i + 1
		left := 20 + float64(i)*(wide+3)
		s.Lanes = append(s.Lanes, summary.Lane{Lane: lane, FinishingLane: lanes + 1 - lane, Artwork: lane, LeftMM: left, RightMM: left + wide, Labels: 17004})
		s.Artworks = append(s.Artworks, summary.Artwork{Artwork: lane, File: "artwork/label.pdf", Page: lane, Product: names[lane%len(names)],
			Lanes: []int{lane}, Ordered: 16000, Labels: 17004, Overs: 1004})
		s.Rolls = append(s.Rolls, summary.Roll{Artwork: lane, LabelsPerRoll: 2500, WebM: 195.4, CoreMM: 76, DiameterMM: 207.7, Ordered: 7, Full: 6,
			Lanes: []summary.LaneRoll{{Lane: lane, Labels: 17004, Full: 6, Rest: 2004}}, Parts: []summary.Piece{{Lane: lane, Labels: 2004}}})
		for row := range 12 {
			c.Stations = append(c.Stations, Station{Lane: lane, Row: row + 1, Artwork: lane, Box: typeset.Box{X: left, Y: 1.5875 + 78.175*float64(row), W: wide, H: 75}})
		}
		s.Files = append(s.Files, summary.File{Role: "artwork", Path: "artwork/label.pdf", SHA256: fmt.Sprintf("%064x", 7919*lane)})
	}
	for i := range inkCount {
		k := Ink{names[i%len(names)], "spot"}
		if i < 4 {
			k = Ink{[]string{"Cyan", "Magenta", "Yellow", "Black"}[i], "process"}
		}
		c.Printing = append(c.Printing, k)
	}
	return c
}

// worldly are names from many places, some of them long.
var worldly = []string{
	"Night run of the Hollow Lane orchard: twelve drinks for the harvest festival, second edition with the corrected deposit notice",
	"Μηλίτης Υδρομέλι ξηρός 0,75 l", "Яблочный сок прямого отжима", "りんごジュース 果汁百パーセント", "苹果汁 有机 非浓缩还原",
	"사과 주스 무가당", "Süßmost naturtrüb aus Streuobst", "Żubrówka-style apple drink, extra dry, alcohol free", "Quince Gold Extra Deep 4711 C",
	"عصير التفاح", "מיץ תפוחים", "Jablečný mošt", "น้ำแอปเปิล",
}
