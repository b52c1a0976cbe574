package plate

import (
	"context"
	"fmt"
	"math"
	"testing"

	"quoin/impose/witness"
)

// TestSmallCellsKeepTheirArea draws patterns whose cells are few pixels wide, and are
// no whole number of them, with steps of both signs and at right angles. The area of
// their ink is that of the drawing by arithmetic: 60 points hold whole cells only.
func TestSmallCellsKeepTheirArea(t *testing.T) {
	drawings := []drawing{}
	for _, n := range []float64{54, 37, 26, 19, 12, 7, 2} {
		for _, turn := range []string{"[1 0 0 1 6 6]", "[0 .5 -.5 0 66 6]"} {
			for _, sign := range []float64{1, -1} {
				step := 60 / n
				if turn[1] == '0' {
					step *= 2
				}
				// A block of .4 by .5 of the cell and one of .3 by .2: 26 %.
				cell := fmt.Sprintf("0 1 0 0 k 0 0 %g %g re f %g %g %g %g re f", .4*step, .5*step, .6*step, .7*step, .3*step, .2*step)
				drawings = append(drawings, drawing{
					name: fmt.Sprint(step, turn, sign), resources: "/Pattern << /P 8 0 R >>", content: "/Pattern cs /P scn 6 6 60 60 re f",
					objects: []string{witness.Stream(fmt.Sprintf("/PatternType 1 /PaintType 1 /TilingType 1 /Matrix %s /BBox [0 0 %g %g] /XStep %g /YStep %g /Resources << >>",
						turn, step, step, sign*step, step), cell)},
				})
			}
		}
	}
	want := 26 * 60. * 60 / (72 * 72)
	for i, d := range drawings {
		p := opened(t, book(t, drawings[i:i+1]), 1)
		set := New(p, renderer(t), Options{DPI: 300})
		sum, pixels := 0, 0
		for n, k := range set.Inks {
			if k.Name != "Magenta" {
				continue
			}
			if err := set.Draw(context.Background(), n, func(b Band) error {
				for _, v := range b.Pixels {
					sum += int(v)
				}
				pixels += len(b.Pixels)
				return nil
			}); err != nil {
				t.Fatal(err)
			}
		}
		if got := float64(sum) / 2.55 / float64(pixels); math.Abs(got-want) > .2 {
			t.Errorf("%s: %.2f per cent, want %.2f", d.name, got, want)
		}
	}
}
