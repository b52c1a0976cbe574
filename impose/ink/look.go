package ink

// corners are the looks of the full process inks on white paper as sRGB, from
// memory, not checked; near enough to tell inks apart on a screen.
var corners = [4][3]float64{
	{0.00, 0.62, 0.88}, // cyan
	{0.90, 0.00, 0.49}, // magenta
	{1.00, 0.93, 0.00}, // yellow
	{0.11, 0.11, 0.11}, // black
}

// RGB returns how a CMYK colour looks on white paper, red, green and blue from
// 0 to 1 in sRGB: each ink takes its share of the light away. It is for
// screens and for judging contrast, never for what the press prints.
func RGB(cmyk [4]float64) [3]float64 {
	rgb := [3]float64{1, 1, 1}
	for i, amount := range cmyk {
		for c := range rgb {
			rgb[c] *= 1 - amount*(1-corners[i][c])
		}
	}
	return rgb
}

// Lightness returns how light an ink looks as a solid on white paper, from 0 to
// 1. White and varnish, which a look says nothing about, are 1.
func (i Ink) Lightness() float64 {
	if i.Kind == White || i.Kind == Varnish {
		return 1
	}
	rgb := RGB(i.CMYK)
	return 0.2126*rgb[0] + 0.7152*rgb[1] + 0.0722*rgb[2] // weights of ITU-R BT.709
}
