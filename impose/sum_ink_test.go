package impose

import (
	"context"
	"math"
	"strconv"
	"testing"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/plate"
)

// Half of a label of 40 x 20 mm in 50 % cyan, of which half a bleed is left at
// its edges, on 2 x 2 stations of each turn, under a flood of white: by hand.
func TestInkOnAFrameByHand(t *testing.T) {
	const mm = 72 / 25.4
	// The media is the label with 2 mm of bleed; cyan fills its left half and bleed.
	path := page(t, "/MediaBox [0 0 "+num(44*mm)+" "+num(24*mm)+"] /TrimBox ["+num(2*mm)+" "+num(2*mm)+" "+num(42*mm)+" "+num(22*mm)+"]",
		".5 0 0 0 k 0 0 "+num(22*mm)+" "+num(24*mm)+" re f")
	for _, turn := range []geometry.Turn{geometry.Turn0, geometry.Turn90, geometry.Turn180, geometry.Turn270} {
		j := jobFor(path)
		j.Turns = []geometry.Turn{turn}
		j.Lanes, j.Rows = 2, 2
		j.Gap = geometry.Size{Across: 4 * geometry.Millimetre, Around: 4 * geometry.Millimetre}
		j.Bleed = geometry.Millimetre
		j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.Flood, Hits: 1}
		im, err := Open(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		defer im.Close()
		// Only the labels and their white: what else stands there is not by hand.
		im.Frame.Items = labelsOf(im.Frame.Items)
		meter := plate.Meter{Say: func(string) {}}
		defer meter.Close()
		frame, err := im.InkOnFrame(context.Background(), meter.Measure)
		if err != nil {
			t.Fatal(err)
		}
		want := map[string]float64{
			"Cyan":  float64(im.Layout.Labels()) * .5 * 21 * 22,
			"White": float64(im.Layout.Labels()) * 42 * 22,
		}
		for name, area := range want {
			if got := frame[name]; math.Abs(got-area) > area/200 {
				t.Errorf("turn %s: %s takes %.1f mm², want %.1f", turn, name, got, area)
			}
		}
	}
}

func labelsOf(items []draw.Item) (list []draw.Item) {
	for _, i := range items {
		if on := i.On(); on == draw.Artwork || on == draw.White {
			list = append(list, i)
		}
	}
	return list
}

// A cover's ink is what the label paints, a tint counts by its amount, an ink
// that doesn't print not at all, and what shows the same is measured once.
func TestInkOfEachItem(t *testing.T) {
	mm := geometry.Millimetre
	box := func(x, y, w, h geometry.Length) geometry.Box {
		return geometry.Box{Min: geometry.Position{Across: x * mm, Around: y * mm}, Max: geometry.Position{Across: (x + w) * mm, Around: (y + h) * mm}}
	}
	place := draw.Place{Trim: box(10, 10, 5, 4), Clip: draw.Rectangle(box(10, 10, 5, 4))}
	again := draw.Place{Trim: box(30, 10, 5, 4), Clip: draw.Rectangle(box(30, 10, 5, 4))}
	im := &Imposition{Planned: &Planned{Sources: &Sources{
		Pages: []*artwork.Page{{Boxes: artwork.Boxes{Trim: artwork.Rect{0, 0, 5 * 72 / 25.4, 4 * 72 / 25.4}}, UserUnit: 1}},
		Inks: &ink.Table{Inks: []ink.Entry{
			{Ink: ink.Ink{Name: "Cyan", Kind: ink.Process}, Spelled: []string{"Cyan"}},
			{Ink: ink.Ink{Name: "White", Kind: ink.White}},
			{Ink: ink.Ink{Name: "Die", Kind: ink.Technical}, Spelled: []string{"Die"}},
			{Ink: ink.Ink{Name: "Gold", Kind: ink.Spot}, Spelled: []string{"Gold C"}},
		}},
	}}}
	im.Frame.Items = []draw.Item{
		place, again,
		draw.Cover{Place: place, Paint: draw.Solid("White")},
		draw.Fill{Path: draw.Rectangle(box(0, 0, 2, 3)), Paint: draw.Paint{Tints: []draw.Tint{{Ink: "Cyan", Amount: .25}, {Ink: "Die", Amount: 1}}}},
		draw.Stroke{Path: draw.Segment(geometry.Position{}, geometry.Position{Across: 10 * mm}), Width: mm / 2, Paint: draw.Solid("Gold")},
	}
	asked := 0
	meter := func(context.Context, *artwork.Page, [][]geometry.Position) (map[string]float64, float64, error) {
		asked++
		return map[string]float64{"Cyan": 7, "Gold C": 2, "Die": 3}, 11, nil
	}
	got, err := im.InkOnFrame(context.Background(), meter)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"Cyan": 2*7 + 1.5, "Gold": 2*2 + 5, "White": 11}
	for name, mm2 := range want {
		if math.Abs(got[name]-mm2) > 1e-9 {
			t.Errorf("%s takes %g mm², want %g", name, got[name], mm2)
		}
	}
	if len(got) != len(want) {
		t.Errorf("inks are %v", got)
	}
	if asked != 1 {
		t.Errorf("two stations that show the same were measured %d times", asked)
	}
}

func num(v float64) string { return strconv.FormatFloat(v, 'f', 6, 64) }
