package draw_test

import (
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
)

const mm = geometry.Millimetre

func box(across, around, wide, long geometry.Length) geometry.Box {
	return geometry.BoxAt(geometry.Position{Across: across, Around: around}, geometry.Size{Across: wide, Around: long})
}

func TestNotation(t *testing.T) {
	var arrow draw.Path
	arrow.Move(geometry.Position{})
	arrow.Line(geometry.Position{Across: mm})
	arrow.Curve(geometry.Position{Across: mm, Around: mm}, geometry.Position{Around: 2 * mm}, geometry.Position{Around: mm / 2})
	arrow.Close()
	long := draw.Ellipse(box(0, 0, 4*mm, 2*mm))
	long.Append(draw.Ellipse(box(0, 0, 2*mm, 2*mm)))
	long.Append(arrow)
	got := draw.Notation([]draw.Item{
		draw.Fill{Layer: draw.Targets, Path: draw.Rectangle(box(11_500_000, 20*mm, 5*mm, 5*mm)), Paint: draw.Paint{Tints: []draw.Tint{{Ink: "Cyan", Amount: .5}}}},
		draw.Fill{Layer: draw.Targets, Path: arrow},
		draw.Stroke{Layer: draw.Marks, Width: 100_000, Paint: draw.Together("Cyan", "White"),
			Path: draw.Segment(geometry.Position{Across: mm}, geometry.Position{Around: mm})},
		draw.Fill{Layer: draw.White, Path: long, Paint: draw.Paint{Tints: []draw.Tint{{Ink: "White", Amount: 1}}, Overprint: true}},
		draw.Cover{Layer: draw.White, Choke: 150_000, Paint: draw.Solid("White"),
			Place: draw.Place{Art: 1, Trim: box(mm, mm, mm, mm), Clip: draw.Rectangle(box(0, 0, 3*mm, 3*mm))}},
		draw.Place{Art: 2, Trim: box(20*mm, 2*mm, 75*mm, 50*mm), Turn: geometry.Turn90, Clip: draw.Rectangle(box(18*mm, 0, 79*mm, 54*mm))},
	})
	const want = `fill targets Cyan 50 %: box 11.5,20 5x5
fill targets paper: M 0,0 L 1,0 C 1,1 0,2 0,0.5 Z
stroke marks 0.1 Cyan+White: line 1,0 0,1
fill white White overprint: path in box 0,0 4x2, 16 verbs, 6f031a77
cover white White choke 0.15 artwork 1 turn 0: box 1,1 1x1 clip box 0,0 3x3
place artwork 2 turn 90: box 20,2 75x50 clip box 18,0 79x54
`
	if got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestBoxKnowsOnlyRectangles(t *testing.T) {
	b := box(mm, 2*mm, 3*mm, 4*mm)
	if got, ok := draw.Rectangle(b).Box(); !ok || got != b {
		t.Errorf("got %v, %v", got, ok)
	}
	for _, p := range []draw.Path{{}, draw.Ellipse(b), draw.Segment(b.Min, b.Max)} {
		if _, ok := p.Box(); ok {
			t.Errorf("%s passes for a rectangle", p)
		}
	}
}
