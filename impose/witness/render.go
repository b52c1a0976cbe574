package witness

import (
	"image"
	_ "image/png" // every renderer is asked for PNG
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// An Option changes how a renderer works.
type Option int

// NoAntialias makes each pixel wholly inside or outside a shape. Renderers
// then still differ in which edge pixels they count in.
const NoAntialias Option = 1

// MuPDF renders one page (counted from 1) in RGB on white with mutool draw.
// All three renderers show the CropBox, turned by /Rotate. MuPDF simulates
// overprint and obeys the page group's blend space.
func MuPDF(t testing.TB, path string, page int, dpi float64, options ...Option) image.Image {
	t.Helper()
	// mutool draws the last page when asked for one behind it; the number in
	// the name of the picture tells which it drew.
	out := scratch(t, "page")
	args := []string{"draw", "-q", "-F", "png", "-c", "rgb", "-r", number(dpi), "-o", out + "%d.png"}
	if hard(options) {
		args = append(args, "-A", "0")
	}
	n := strconv.Itoa(page)
	run(t, "mutool", append(args, path, n)...)
	return read(t, out+n+".png")
}

// Poppler renders one page (counted from 1) in RGB on white with pdftoppm. It
// shows spots as their alternates, simulates no overprint, and ignores
// UserUnit and the page group's blend space.
func Poppler(t testing.TB, path string, page int, dpi float64, options ...Option) image.Image {
	t.Helper()
	out := scratch(t, "page.png")
	n := strconv.Itoa(page)
	args := []string{"-q", "-png", "-singlefile", "-cropbox", "-r", number(dpi), "-f", n, "-l", n}
	if hard(options) {
		args = append(args, "-aa", "no", "-aaVector", "no")
	}
	run(t, "pdftoppm", append(args, path, out[:len(out)-len(".png")])...)
	return read(t, out)
}

// Ghostscript renders one page (counted from 1) in RGB on white with gs. It
// counts every pixel that a shape touches as inside.
func Ghostscript(t testing.TB, path string, page int, dpi float64, options ...Option) image.Image {
	t.Helper()
	out := scratch(t, "page.png")
	args := ghostscript("png16m", out, page, dpi)
	if !hard(options) {
		args = append(args, "-dTextAlphaBits=4", "-dGraphicsAlphaBits=4")
	}
	run(t, "gs", append(args, path)...)
	return read(t, out)
}

// ghostscript are the arguments common to every device.
func ghostscript(device, out string, page int, dpi float64) []string {
	n := strconv.Itoa(page)
	return []string{"-dSAFER", "-dBATCH", "-dNOPAUSE", "-dUseCropBox", "-sDEVICE=" + device,
		"-r" + number(dpi), "-dFirstPage=" + n, "-dLastPage=" + n, "-sOutputFile=" + out}
}

func hard(options []Option) bool {
	for _, o := range options {
		if o == NoAntialias {
			return true
		}
	}
	return false
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func scratch(t testing.TB, name string) string {
	t.Helper()
	return filepath.Join(t.TempDir(), name)
}

func read(t testing.TB, path string) image.Image {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatalf("the renderer wrote no picture (no such page?): %v", err)
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	if err != nil {
		t.Fatalf("the renderer's picture can't be read: %v", err)
	}
	return img
}
