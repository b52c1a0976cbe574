package witness

import (
	"bufio"
	"fmt"
	"image"
	"image/color"
	_ "image/png" // what renders SVG writes no other
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
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
	args := []string{"draw", "-q", "-F", "pnm", "-c", "rgb", "-r", number(dpi), "-o", out + "%d.pnm"}
	if hard(options) {
		args = append(args, "-A", "0")
	}
	n := strconv.Itoa(page)
	run(t, "mutool", append(args, path, n)...)
	return read(t, out+n+".pnm")
}

// Poppler renders one page (counted from 1) in RGB on white with pdftoppm. It
// shows spots as their alternates, simulates no overprint, and ignores
// UserUnit and the page group's blend space.
func Poppler(t testing.TB, path string, page int, dpi float64, options ...Option) image.Image {
	t.Helper()
	out := scratch(t, "page.ppm")
	n := strconv.Itoa(page)
	args := []string{"-q", "-singlefile", "-cropbox", "-r", number(dpi), "-f", n, "-l", n}
	if hard(options) {
		args = append(args, "-aa", "no", "-aaVector", "no")
	}
	run(t, "pdftoppm", append(args, path, out[:len(out)-len(".ppm")])...)
	return read(t, out)
}

// Ghostscript renders one page (counted from 1) in RGB on white with gs. It
// counts every pixel that a shape touches as inside.
func Ghostscript(t testing.TB, path string, page int, dpi float64, options ...Option) image.Image {
	t.Helper()
	dir := t.TempDir()
	bits := 4
	if hard(options) {
		bits = 1
	}
	parameters := fmt.Sprintf("%s /TextAlphaBits %d /GraphicsAlphaBits %[2]d", pictures(t, filepath.Join(dir, "%06d.ppm"), dpi), bits)
	if r := interpret(t, "-sDEVICE=ppmraw", parameters, touched, path); r.exit != 0 {
		t.Fatalf("gs -sDEVICE=ppmraw -r%s %s:\n%s%s", number(dpi), path, r.stdout, r.stderr)
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.ppm"))
	if err != nil || page < 1 || page > len(files) {
		t.Fatalf("gs wrote no picture of page %d of %s, but %d pictures, %v", page, path, len(files), err)
	}
	return read(t, files[page-1])
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

// Renderers of pages are asked for the portable pixmap, bytes of red, green and
// blue behind a head of one line or more: to pack pictures as PNG took Poppler longer
// than to draw them.
func init() {
	image.RegisterFormat("ppm", "P6", pixmap, func(r io.Reader) (image.Config, error) {
		w, h, err := pixmapHead(bufio.NewReader(r))
		return image.Config{ColorModel: color.RGBAModel, Width: w, Height: h}, err
	})
}

func pixmap(r io.Reader) (image.Image, error) {
	in := bufio.NewReader(r)
	w, h, err := pixmapHead(in)
	if err != nil {
		return nil, err
	}
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	row := make([]byte, 3*w)
	for y := range h {
		if _, err := io.ReadFull(in, row); err != nil {
			return nil, err
		}
		to := img.Pix[y*img.Stride:]
		for x := range w {
			copy(to[4*x:], row[3*x:3*x+3])
			to[4*x+3] = 255
		}
	}
	return img, nil
}

// pixmapHead reads the width, the height and the largest value, and the one byte of
// space behind them; Ghostscript says its name in a comment.
func pixmapHead(in *bufio.Reader) (w, h int, err error) {
	var words []string
	for len(words) < 4 {
		line, err := in.ReadString('\n')
		if err != nil {
			return 0, 0, err
		}
		line, _, _ = strings.Cut(line, "#")
		words = append(words, strings.Fields(line)...)
	}
	if _, err := fmt.Sscan(words[1], &w); err != nil {
		return 0, 0, err
	}
	if _, err := fmt.Sscan(words[2], &h); err != nil {
		return 0, 0, err
	}
	if len(words) > 4 || words[3] != "255" {
		return 0, 0, fmt.Errorf("a pixmap's head is %q", words)
	}
	return w, h, nil
}
