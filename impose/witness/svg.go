package witness

import (
	"image"
	"testing"
)

// SVG renders a drawing on white with rsvg-convert; lengths in mm become
// pixels by dpi.
func SVG(t testing.TB, path string, dpi float64) image.Image {
	t.Helper()
	out := scratch(t, "drawing.png")
	run(t, "rsvg-convert", "-d", number(dpi), "-p", number(dpi), "-b", "white", "-o", out, path)
	return read(t, out)
}

// Inkscape renders a drawing on white with inkscape, a second opinion that
// takes seconds to start.
func Inkscape(t testing.TB, path string, dpi float64) image.Image {
	t.Helper()
	out := scratch(t, "drawing.png")
	run(t, "inkscape", "--export-type=png", "--export-background=white", "--export-dpi="+number(dpi), "--export-filename="+out, path)
	return read(t, out)
}
