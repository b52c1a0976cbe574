package witness

import (
	"image"
	"image/color"
	"testing"
)

// picture draws one letter per pixel: '.' white, '#' black, '+' mid grey.
func picture(rows ...string) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, len(rows[0]), len(rows)))
	shades := map[byte]uint8{'.': 255, '+': 128, '#': 0}
	for y, row := range rows {
		for x := range len(row) {
			v := shades[row[x]]
			img.SetRGBA(x, y, color.RGBA{v, v, v, 255})
		}
	}
	return img
}

func TestCompare(t *testing.T) {
	square := picture(
		"......",
		".###..",
		".###..",
		"......")
	soft := picture(
		"......",
		"+##+..",
		"+##+..",
		"......")
	shifted := picture(
		"......",
		"...###",
		"...###",
		"......")
	for _, c := range []struct {
		name    string
		a, b    image.Image
		forgive Tolerance
		largest int
		share   float64
	}{
		{"equal", square, square, Tolerance{}, 0, 0},
		{"edges between pixels", square, soft, Tolerance{}, 128, 4.0 / 24},
		{"edges forgiven by amount", square, soft, Tolerance{Over: 128}, 128, 0},
		{"edges forgiven by reach", square, soft, Tolerance{Reach: 1}, 0, 0},
		{"shift is not forgiven", square, shifted, Tolerance{Reach: 1}, 255, 4.0 / 24},
		{"one pixel row fewer", square, square.SubImage(image.Rect(0, 0, 6, 3)), Tolerance{}, 0, 0},
		{"two pixel rows fewer", square, square.SubImage(image.Rect(0, 0, 6, 2)), Tolerance{}, 255, 1},
	} {
		d := Compare(c.a, c.b, c.forgive)
		back := Compare(c.b, c.a, c.forgive)
		if d.Largest != c.largest || d.Share != c.share {
			t.Errorf("%s: %v; want largest %d, share %.4f", c.name, d, c.largest, c.share)
		}
		if back.Largest != d.Largest || back.Mean != d.Mean || back.Share != d.Share {
			t.Errorf("%s: not the same both ways: %v, %v", c.name, d, back)
		}
	}
	if d := Compare(square, soft, Tolerance{}); d.Where != image.Rect(0, 1, 4, 3) || d.Mean != (2*128+2*127)/24.0 {
		t.Errorf("where and mean: %v", d)
	}
}
