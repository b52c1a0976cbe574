package artwork

import (
	"errors"
	"fmt"
	"image"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	_ "golang.org/x/image/tiff" // tiffsep writes it

	"quoin/geometry/trials"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
	"quoin/impose/witness"
)

// TestCorpus inspects public files page by page: none may bring the reader
// down or keep it for long, and only files that can't be opened are refused.
// Run with -v for the table.
func TestCorpus(t *testing.T) {
	if testing.Short() {
		t.Skip("reads hundreds of files")
	}
	const patience, maxPages = 20 * time.Second, 10
	count := map[string]int{}
	for _, path := range witness.Corpus(t, 6, 1) {
		start := time.Now()
		f, err := Open(path, Options{})
		if err != nil {
			verdict := "another error"
			for _, known := range []error{pdfobj.ErrNotPDF, pdfobj.ErrPassword, pdfobj.ErrNotPermitted, pdfobj.ErrEncryption, ErrNoPages} {
				if errors.Is(err, known) {
					verdict = known.Error()
				}
			}
			if verdict == "another error" {
				t.Error(err)
			}
			count[verdict]++
			continue
		}
		count["inspected"]++
		for n := range min(f.Pages(), maxPages) {
			p, err := f.Page(n + 1)
			if err != nil {
				t.Error(err)
				continue
			}
			count["pages"]++
			if p.Size().Across <= 0 || p.Size().Around <= 0 || !p.FormMatrix().finite() {
				t.Errorf("%s: %v, %v", p.Name(), p.Size(), p.FormMatrix())
			}
		}
		f.Close()
		if took := time.Since(start); took > patience {
			t.Errorf("%s took %v", path, took)
		}
	}
	for _, verdict := range slices.Sorted(maps.Keys(count)) {
		t.Logf("%5d %s", count[verdict], verdict)
	}
}

// TestCorpusInksAreThosePlates compares the inks of public one-page files
// with the plates that Ghostscript makes of them. What it prints without our
// list is a fault. What only the list has, is one too, but for process inks
// of RGB, which are assumed.
func TestCorpusInksAreThosePlates(t *testing.T) {
	if testing.Short() {
		t.Skip("separates many pages")
	}
	gs := witness.Need(t, "gs")
	count := map[string]int{}
	for _, path := range witness.Corpus(t, 25, 5) {
		f, err := Open(path, Options{})
		if err != nil {
			continue
		}
		defer f.Close()
		p, err := f.Page(1)
		// Ghostscript shows the crop box, and takes long over large pages.
		if f.Pages() != 1 || err != nil || p.Boxes.Bleed != p.Boxes.Media || p.Size().Area() > 1e6 {
			continue
		}
		plates, ok := platesOf(t, gs, path)
		if !ok {
			count["not readable for Ghostscript"]++
			continue
		}
		verdict := "equal"
		for name := range plates {
			if usage(p, name).State != Used && !strings.Contains(codes(p), AnnotationBare) {
				t.Errorf("%s: %s is on a plate, but %q", path, name, usage(p, name).State)
				verdict = "missing"
			}
		}
		assumed := strings.Contains(codes(p), RGB) || strings.Contains(codes(p), ForeignCMYK)
		for _, u := range p.Inks {
			if u.State == Used && !plates[u.Name] && !(assumed && ink.IsProcess(u.Name)) {
				t.Errorf("%s: %s is used, but on no plate", path, u.Name)
				verdict = "too many"
			}
		}
		count[verdict]++
	}
	if count["equal"] < trials.Number(t, "", 4, 20) {
		t.Errorf("only %d files were compared", count["equal"])
	}
	t.Log(fmt.Sprint(count))
}

// platesOf tells which inks Ghostscript lays down on a one-page file; not ok
// if it complains about the file.
func platesOf(t *testing.T, gs, path string) (inked map[string]bool, ok bool) {
	t.Helper()
	dir := t.TempDir()
	out, err := exec.Command(gs, "-dSAFER", "-dBATCH", "-dNOPAUSE", "-dUseCropBox", "-sDEVICE=tiffsep", "-r36",
		"-sCompression=none", "-dMaxSpots=50", "-sOutputFile="+filepath.Join(dir, "%d.tif"), path).CombinedOutput()
	if err != nil || strings.Contains(string(out), "rror") {
		return nil, false
	}
	files, err := filepath.Glob(filepath.Join(dir, "1(*).tif"))
	if err != nil {
		t.Fatal(err)
	}
	inked = map[string]bool{}
	for _, file := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(file), "1("), ").tif")
		data, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		img, _, err := image.Decode(data) // witness has registered TIFF
		data.Close()
		if err != nil {
			t.Fatal(err)
		}
		if slices.Min(img.(*image.Gray).Pix) < 250 {
			inked[name] = true
		}
	}
	return inked, len(files) > 0
}
