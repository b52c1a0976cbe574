package vary

import (
	"fmt"
	"image"
	"math"
	"slices"

	"quoin/geometry"
	"quoin/impose/say"
)

// CodeContrast warns of a symbol that is little darker than what is beneath it.
const CodeContrast = "symbol-contrast"

// Symbol contrast is the lightest reflectance less the darkest, in red light of
// some 660 nm (ISO/IEC 15416 and 15415: 70 % grade 4, 55 % grade 3, 40 % grade
// 2, 20 % grade 1; from memory). GS1 asks for grade 1.5 at least, which leaves
// nothing to lose below 40 %.
const (
	leastContrast = 0.20
	goodContrast  = 0.40
)

// Contrast compares each symbol with the label beneath it. Label is a picture of
// the upright artwork with its bleed around, paper white where nothing is
// painted; look gives how a solid of an ink looks on white, in sRGB. It refuses
// symbols that no scanner would grade on most of their ground, and those lighter
// than it, and warns of poor ones. It is a guess from a screen's colours, and no grading.
func (r *Run) Contrast(label image.Image, bleed geometry.Length, look func(ink string) [3]float64) (say.Notes, error) {
	var notes say.Notes
	if len(r.stations) == 0 {
		return nil, nil
	}
	size := r.stations[0].upright()
	bounds := label.Bounds()
	for _, f := range r.fields {
		if f.Symbol == nil {
			continue
		}
		box := f.box(f.modules).Moved(geometry.Size{Across: bleed, Around: bleed})
		px := func(l, whole geometry.Length, pixels int) int {
			return int(l * geometry.Length(pixels) / (whole + 2*bleed))
		}
		area := image.Rect(
			px(box.Min.Across, size.Across, bounds.Dx()), px(box.Min.Around, size.Around, bounds.Dy()),
			px(box.Max.Across, size.Across, bounds.Dx()), px(box.Max.Around, size.Around, bounds.Dy()),
		).Add(bounds.Min).Intersect(bounds)
		low, middle, most := ground(label, area)
		dark := linear(look(f.Ink)[0])
		if f.Overprint {
			dark *= most
		}
		text := func(light float64) string {
			return fmt.Sprintf("in %s it has a contrast of %s %% on what is beneath it in red light", f.Ink, say.Fixed(100*max(0, light-dark), 0))
		}
		const way = "print it in a dark ink without much red, as black or blue, and keep a light ground free for it in the artwork, its quiet zones included"
		switch {
		case middle-dark < -leastContrast:
			return notes, fieldFault(f.Name, way, fmt.Errorf("in %s it is lighter than what is beneath it", f.Ink))
		case middle-dark < leastContrast:
			return notes, fieldFault(f.Name, way, fmt.Errorf("%s, less than the %s %% that any grade asks for", text(middle), say.Fixed(100*leastContrast, 0)))
		case low-dark < goodContrast:
			notes.Add(CodeContrast, "field %s: where the artwork is darkest, %s, less than the %s %% of a fair grade", f.Name, text(low), say.Fixed(100*goodContrast, 0))
		}
	}
	return notes, nil
}

// ground gives how much red light comes back from an area: low, what all but a
// twentieth of it gives at least, so that a speck doesn't count; what half of it
// does; and the most.
func ground(label image.Image, area image.Rectangle) (low, middle, most float64) {
	var list []float64
	for y := area.Min.Y; y < area.Max.Y; y++ {
		for x := area.Min.X; x < area.Max.X; x++ {
			red, _, _, _ := label.At(x, y).RGBA()
			list = append(list, linear(float64(red)/0xffff))
		}
	}
	if len(list) == 0 {
		return 1, 1, 1
	}
	slices.Sort(list)
	return list[len(list)/20], list[len(list)/2], list[len(list)-1]
}

// linear takes the gamma of sRGB away (IEC 61966-2-1).
func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}
