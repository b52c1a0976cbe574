package vary

import (
	"fmt"
	"image"
	"maps"
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

// Light is how much red light comes back from the ground of a symbol: what all but a
// twentieth of it gives at least, so that a speck doesn't count; what half of it
// does; and the most.
type Light struct{ Low, Middle, Most float64 }

// Flat returns the light of a ground of one colour, in sRGB.
func Flat(look [3]float64) Light {
	l := linear(look[0])
	return Light{l, l, l}
}

// LightOf returns the light of a box of the upright label in a picture of it, which shows
// the bleed around too, and paper white where nothing is painted.
func LightOf(picture image.Image, size geometry.Size, bleed geometry.Length, box geometry.Box) Light {
	bounds := picture.Bounds()
	box = box.Moved(geometry.Size{Across: bleed, Around: bleed})
	px := func(l, whole geometry.Length, pixels int) int {
		return int(l * geometry.Length(pixels) / (whole + 2*bleed))
	}
	area := image.Rect(
		px(box.Min.Across, size.Across, bounds.Dx()), px(box.Min.Around, size.Around, bounds.Dy()),
		px(box.Max.Across, size.Across, bounds.Dx()), px(box.Max.Around, size.Around, bounds.Dy()),
	).Add(bounds.Min).Intersect(bounds)
	var list []float64
	for y := area.Min.Y; y < area.Max.Y; y++ {
		for x := area.Min.X; x < area.Max.X; x++ {
			red, _, _, _ := picture.At(x, y).RGBA()
			list = append(list, linear(float64(red)/0xffff))
		}
	}
	if len(list) == 0 {
		return Light{1, 1, 1}
	}
	slices.Sort(list)
	return Light{list[len(list)/20], list[len(list)/2], list[len(list)-1]}
}

// Symbols returns the boxes of the symbols with their quiet zones on the upright
// label, and the artworks beneath: their numbers as draw.Place has them.
func (r *Run) Symbols() (boxes []geometry.Box, artworks []int) {
	for _, f := range r.fields {
		if f.Symbol != nil {
			boxes = append(boxes, f.box(f.modules))
		}
	}
	if r.own != nil {
		return boxes, slices.Sorted(maps.Keys(r.own.used))
	}
	return boxes, []int{0}
}

// Clear reports whether all symbols have at least a contrast on their lights.
func (r *Run) Clear(lights []Light, look func(ink string) [3]float64, least float64) bool {
	clear := true
	r.eachContrast(lights, look, func(_ *field, on Light, dark float64) error {
		clear = clear && on.Low-dark >= least
		return nil
	})
	return clear
}

// eachContrast hands out the symbols, what they stand on, and how much light comes
// back from their own ink there.
func (r *Run) eachContrast(lights []Light, look func(ink string) [3]float64, see func(f *field, on Light, dark float64) error) error {
	for _, f := range r.fields {
		if f.Symbol == nil {
			continue
		}
		on, dark := lights[0], linear(look(f.Ink)[0])
		lights = lights[1:]
		if f.Overprint {
			dark *= on.Most
		}
		if err := see(f, on, dark); err != nil {
			return err
		}
	}
	return nil
}

// Contrast compares each symbol with the label beneath it: lights are in the order of
// Symbols, look gives how a solid of an ink looks on white, in sRGB. It refuses
// symbols that no scanner would grade on most of their ground, and those lighter
// than it, and warns of poor ones. It is a guess from a screen's colours, and no grading.
func (r *Run) Contrast(lights []Light, look func(ink string) [3]float64) (say.Notes, error) {
	var notes say.Notes
	err := r.eachContrast(lights, look, func(f *field, on Light, dark float64) error {
		text := func(light float64) string {
			return fmt.Sprintf("in %s it has a contrast of %s %% on what is beneath it in red light", f.Ink, say.Fixed(100*max(0, light-dark), 0))
		}
		const way = "print it in a dark ink without much red, as black or blue, and keep a light ground free for it in the artwork, its quiet zones included"
		switch {
		case on.Middle-dark < -leastContrast:
			return fieldFault(f.Name, way, fmt.Errorf("in %s it is lighter than what is beneath it", f.Ink))
		case on.Middle-dark < leastContrast:
			return fieldFault(f.Name, way, fmt.Errorf("%s, less than the %s %% that any grade asks for", text(on.Middle), say.Fixed(100*leastContrast, 0)))
		case on.Low-dark < goodContrast:
			notes.Add(CodeContrast, "field %s: where the artwork is darkest, %s, less than the %s %% of a fair grade", f.Name, text(on.Low), say.Fixed(100*goodContrast, 0))
		}
		return nil
	})
	return notes, err
}

// linear takes the gamma of sRGB away (IEC 61966-2-1).
func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}
