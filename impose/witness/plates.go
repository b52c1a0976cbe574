package witness

import (
	"bytes"
	"image"
	"maps"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Plates separates one page (counted from 1) with Ghostscript's tiffsep and
// returns one plate per ink: Cyan, Magenta, Yellow, Black always, and each
// spot that the page uses under its full name. In a plate 255 is full ink and
// 0 is none, the opposite of what tiffsep writes. Overprint is obeyed. There
// is no antialiasing: a pixel that a shape touches is inside.
//
// A page on which Ghostscript reports any error fails the test, because a
// plate may then be missing without another word.
func Plates(t testing.TB, path string, page int, dpi float64) map[string]*image.Gray {
	t.Helper()
	all := AllPlates(t, path, dpi)
	if page < 1 || page > len(all) {
		t.Fatalf("tiffsep wrote no plates for page %d of %s: it has %d pages", page, path, len(all))
	}
	return all[page-1]
}

// AllPlates separates every page as Plates does, in one run.
//
// Ghostscript is given no page range: version 10.00 then loses everything
// painted in spots on a page that uses transparency.
func AllPlates(t testing.TB, path string, dpi float64) []map[string]*image.Gray {
	t.Helper()
	return allPlates(t, dpi, touched, path)
}

// PlatesTogether separates every page of several files as Plates does, one file
// after another.
func PlatesTogether(t testing.TB, dpi float64, paths ...string) []map[string]*image.Gray {
	t.Helper()
	return allPlates(t, dpi, touched, paths...)
}

// FairPlates separates every page as AllPlates does, but a pixel is inside of a
// shape only if its centre is: areas come out fair, not grown by up to a pixel
// on every side.
func FairPlates(t testing.TB, path string, dpi float64) []map[string]*image.Gray {
	t.Helper()
	return allPlates(t, dpi, centred, path)
}

// largeBands are bytes: with its own small bands a fine frame takes Ghostscript half
// as long again, and to clear large ones is half of what a coarse page takes.
func largeBands(dpi float64) int {
	if dpi > 200 {
		return 64_000_000
	}
	return 16_000_000
}

func allPlates(t testing.TB, dpi float64, fill string, paths ...string) []map[string]*image.Gray {
	t.Helper()
	dir := t.TempDir()
	// Told later, the size of bands has no effect.
	started := "-sDEVICE=tiffsep -sCompression=none -dMaxSpots=50 -dBufferSpace=" + strconv.Itoa(largeBands(dpi))
	if r := interpret(t, started, pictures(t, filepath.Join(dir, "%d.tif"), dpi), fill, paths...); r.exit != 0 || complained(r) {
		t.Fatalf("gs -sDEVICE=tiffsep -r%s %s:\n%s%s", number(dpi), strings.Join(paths, " "), r.stdout, r.stderr)
	}
	files, err := filepath.Glob(filepath.Join(dir, "*(*).tif"))
	if err != nil {
		t.Fatal(err)
	}
	pages := map[int]map[string]*image.Gray{}
	for _, file := range files {
		number, name, _ := strings.Cut(strings.TrimSuffix(filepath.Base(file), ").tif"), "(")
		n, err := strconv.Atoi(number)
		if err != nil {
			t.Fatal(err)
		}
		// tiffsep writes odd bytes of a name as %XX.
		if plain, err := url.PathUnescape(name); err == nil {
			name = plain
		}
		if pages[n] == nil {
			pages[n] = map[string]*image.Gray{}
		}
		pages[n][name] = ink(t, file)
		os.Remove(file) // a plate of a full frame is large
	}
	var inOrder []map[string]*image.Gray
	for _, n := range slices.Sorted(maps.Keys(pages)) {
		inOrder = append(inOrder, pages[n])
	}
	return inOrder
}

// ink turns tiffsep's brightness into an amount of ink.
func ink(t testing.TB, file string) *image.Gray {
	t.Helper()
	plate, err := greyTIFF(file)
	if err != nil {
		t.Fatal(err)
	}
	for i, bright := range plate.Pix {
		plate.Pix[i] = 255 - bright
	}
	return plate
}

// NoComplaint fails the test when qpdf, MuPDF or Ghostscript has anything to
// say about the file beyond drawing it.
func NoComplaint(t testing.TB, path string) {
	t.Helper()
	QPDFCheck(t, path)
	r := try(t, "mutool", "draw", "-q", "-r", "36", "-F", "pnm", "-o", os.DevNull, path)
	// Debian builds MuPDF without ICC, and each run says so.
	said := bytes.ReplaceAll(r.stderr, []byte("warning: ICC support is not available\n"), nil)
	if r.exit != 0 || len(said) > 0 {
		t.Errorf("mutool draw %s ended with exit code %d:\n%s", path, r.exit, said)
	}
	if r = interpret(t, "-sDEVICE=nullpage", "", touched, path); r.exit != 0 || complained(r) {
		t.Errorf("gs -sDEVICE=nullpage %s:\n%s%s", path, r.stdout, r.stderr)
	}
}

// complained reports whether Ghostscript found a fault. It ends with exit code
// 0 on files that it repaired or drew in part, and then says so at the end on
// stderr; but told to be quiet (-q) it keeps even that to itself.
func complained(r result) bool {
	return len(bytes.TrimSpace(r.stderr)) > 0 || bytes.Contains(r.stdout, []byte("No pages will be processed"))
}
