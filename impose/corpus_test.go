package impose

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	_ "image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
	"quoin/impose/press"
	"quoin/impose/witness"
)

// TestCorpus places page 1 of public PDFs on a frame of its size and compares
// the frame with the page on the same pixel grid: in MuPDF first, and Poppler
// decides what MuPDF calls different. The files are those that the Go modules
// we build with carry, a sample of them unless QUOIN_CORPUS names a folder with
// more; testdata/corpus/fetch.sh fills one. Run with -v for the table. A file
// that QUOIN_CORPUS_RESULTS names gets a line for each file as it is tried, and
// what it has already is not tried again.
func TestCorpus(t *testing.T) {
	if testing.Short() {
		t.Skip("renders hundreds of pages")
	}
	for _, tool := range []string{"qpdf", "mutool", "pdftoppm"} {
		witness.Need(t, tool)
	}
	files := witness.Corpus(t, 36, 12)
	book := openResults(t)
	var mu sync.Mutex
	results := make([]trial, len(files))
	next := 0
	var workers sync.WaitGroup
	for range 2 {
		workers.Go(func() {
			dir := t.TempDir()
			for {
				mu.Lock()
				i := next
				next++
				mu.Unlock()
				if i >= len(files) {
					return
				}
				r, known := book.known[files[i]]
				if !known {
					r = try(files[i], dir)
					book.add(r)
				}
				results[i] = r
				if r.became != equal && r.became != flattened && r.became != forbidden && r.became != unfit {
					t.Logf("%s: %s (qpdf: %s): %s", r.became, r.path, r.qpdf, r.why)
				}
			}
		})
	}
	workers.Wait()
	report(t, results)
}

// patience is what one file may take, as the issue of the house has it.
const patience = 20 * time.Second

// What became of a file.
const (
	equal     = "equal"
	flattened = "equal but for notes on screen" // annotations that don't print
	differs   = "different"
	unseen    = "placed, not comparable" // no renderer shows the source
	forbidden = "refused: password or permissions"
	unfit     = "refused: it would print wrong"
	refuses   = "refused"
	panicked  = "panic"
	hung      = "hang"
)

type trial struct {
	path   string
	qpdf   string // clean, warnings or failed
	became string
	why    string
	code   string // of the finding for which it was refused
}

func (r trial) placed() bool {
	return r.became == equal || r.became == flattened || r.became == differs || r.became == unseen
}

// try places one file and compares.
func try(path, dir string) trial {
	r := trial{path: path, qpdf: checked(path)}
	out := filepath.Join(dir, "frame.pdf")
	type answer struct {
		dpi float64
		err error
	}
	done := make(chan answer, 1)
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	go func() {
		dpi, err := placeAlone(ctx, path, out)
		done <- answer{dpi, err}
	}()
	var a answer
	select {
	case a = <-done:
	case <-time.After(patience + 2*time.Second):
		r.became = hung
		return r
	}
	var p *panicError
	var u *unfitError
	switch {
	case errors.Is(a.err, context.DeadlineExceeded):
		r.became = hung
	case errors.As(a.err, &p) || a.err != nil && strings.Contains(a.err.Error(), "the reader failed"):
		r.became = panicked
	case errors.Is(a.err, pdfobj.ErrPassword) || errors.Is(a.err, pdfobj.ErrNotPermitted):
		r.became = forbidden
	case errors.As(a.err, &u):
		r.became, r.code = unfit, u.code
	case a.err != nil:
		r.became = refuses
	}
	if a.err != nil {
		r.why = a.err.Error()
		return r
	}
	r.became, r.why = compared(path, out, dir, a.dpi)
	return r
}

type unfitError struct {
	error
	code string
}

type panicError struct{ what any }

func (e *panicError) Error() string { return fmt.Sprint("panic: ", e.what) }

// placeAlone writes a frame of the size of the page as shown, with the page on
// it, and gives the resolution at which to look at both.
func placeAlone(ctx context.Context, path, out string) (dpi float64, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = &panicError{r}
		}
	}()
	f, err := artwork.Open(path, artwork.Options{PDF: pdfobj.Limits{Context: ctx}})
	if err != nil {
		return 0, err
	}
	defer f.Close()
	p, err := f.Page(1)
	if err != nil {
		return 0, err
	}
	if err := p.Unfit(); err != nil {
		i := slices.IndexFunc(p.Findings, func(f artwork.Finding) bool { return f.Level == artwork.Fault })
		return 0, &unfitError{err, p.Findings[i].Code}
	}
	m := p.FormMatrix()
	crop, trim := m.Bounds(p.Boxes.Crop), m.Bounds(p.Boxes.Trim)
	nm := func(points float64) geometry.Length {
		return geometry.Length(math.Round(points * float64(geometry.Inch) / geometry.PointsPerInch))
	}
	size := geometry.Size{Across: nm(crop.Width()), Around: nm(crop.Height())}
	place := draw.Place{
		Trim: geometry.BoxAt(geometry.Position{Across: nm(trim[0] - crop[0]), Around: nm(crop[3] - trim[3])},
			geometry.Size{Across: nm(trim.Width()), Around: nm(trim.Height())}),
		Clip: draw.Rectangle(geometry.BoxAt(geometry.Position{}, size)),
	}
	pages := []*artwork.Page{p}
	file, err := os.Create(out)
	if err != nil {
		return 0, err
	}
	defer file.Close()
	w, err := press.New(file, press.Setup{Artworks: pages, Blend: blend(pages)})
	if err != nil {
		return 0, err
	}
	if err := w.Frame(draw.Frame{Size: size, Items: []draw.Item{place}}); err != nil {
		return 0, err
	}
	return min(150, max(2, 600*72/max(crop.Width(), crop.Height()))), w.Close()
}

// checked tells what qpdf thinks of a file.
func checked(path string) string {
	_, code := program(time.Minute, "qpdf", "--check", path)
	switch code {
	case 0:
		return "clean"
	case 3:
		return "warnings"
	}
	return "failed"
}

// program runs an outside program and gives its output and exit code, -1 where
// it didn't end in time or couldn't run.
func program(patience time.Duration, name string, args ...string) ([]byte, int) {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	var out bytes.Buffer
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Stdout = &out
	if err := cmd.Run(); err != nil {
		var exit *exec.ExitError
		if ctx.Err() == nil && errors.As(err, &exit) {
			return out.Bytes(), exit.ExitCode()
		}
		return out.Bytes(), -1
	}
	return out.Bytes(), 0
}

// compared looks at the page and the frame.
func compared(source, frame, dir string, dpi float64) (became, why string) {
	became = unseen
	sources := []string{source}
	for i := 0; i < len(sources); i++ {
		for _, render := range []func(string, string, float64) (image.Image, error){byMuPDF, byPoppler} {
			a, err := render(sources[i], dir, dpi)
			if err != nil {
				continue // the source is more than it can show
			}
			b, err := render(frame, dir, dpi)
			if err != nil {
				became, why = differs, "the frame can't be shown"
				continue
			}
			d := witness.Compare(inner(a), inner(b), witness.Tolerance{Over: 16})
			if d.Share <= .001 {
				if i > 0 {
					return flattened, ""
				}
				return equal, ""
			}
			became, why = differs, strings.TrimSpace(why+"; "+d.String())
		}
		if i == 0 {
			// A renderer shows what the screen shows. Flattening would drop the fields
			// and annotations that a viewer draws by itself, so those that don't print
			// are taken away, and the others are left to the renderers.
			print := filepath.Join(dir, "print.pdf")
			if printed(source, print, dir) == nil {
				sources = append(sources, print)
			}
		}
	}
	return became, why
}

// printed writes the source without the annotations of page 1 that don't print:
// ISO 32000-1 12.5.3, bit 3 set and bit 2 clear.
func printed(source, out, dir string) error {
	script := filepath.Join(dir, "printed.js")
	os.Remove(out)
	if err := os.WriteFile(script, []byte(`
var doc = new PDFDocument(scriptArgs[0]);
var list = doc.findPage(0).get("Annots");
if (list)
	for (var i = list.length - 1; i >= 0; --i) {
		var one = list.get(i), f = one ? one.get("F") : 0;
		f = f && f.resolve ? f.resolve() : f;
		if (!(Number(f) & 4) || Number(f) & 2)
			list.delete(i);
	}
doc.save(scriptArgs[1], "");
`), 0o644); err != nil {
		return err
	}
	if _, code := program(time.Minute, "mutool", "run", script, source, out); code != 0 {
		return fmt.Errorf("exit code %d", code)
	}
	return nil
}

// inner leaves out the outermost pixels: a page of a broken number of pixels is
// clipped within them on the frame, and fills them by itself.
func inner(img image.Image) image.Image {
	b := img.Bounds()
	if b.Dx() < 8 || b.Dy() < 8 {
		return img
	}
	return img.(interface {
		SubImage(image.Rectangle) image.Image
	}).SubImage(b.Inset(1))
}

func byMuPDF(path, dir string, dpi float64) (image.Image, error) {
	out := filepath.Join(dir, "mupdf.png")
	os.Remove(out)
	if _, code := program(time.Minute, "mutool", "draw", "-q", "-F", "png", "-c", "rgb", "-r", fmt.Sprint(dpi), "-o", out, path, "1"); code != 0 {
		return nil, fmt.Errorf("exit code %d", code)
	}
	return decoded(out)
}

func byPoppler(path, dir string, dpi float64) (image.Image, error) {
	out := filepath.Join(dir, "poppler")
	os.Remove(out + ".png")
	if _, code := program(time.Minute, "pdftoppm", "-q", "-png", "-singlefile", "-cropbox", "-r", fmt.Sprint(dpi), "-f", "1", "-l", "1", path, out); code != 0 {
		return nil, fmt.Errorf("exit code %d", code)
	}
	return decoded(out + ".png")
}

func decoded(path string) (image.Image, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	return img, err
}

// report prints the table and holds it to what the house asks for.
func report(t *testing.T, results []trial) {
	t.Helper()
	count := map[[2]string]int{}
	read, placed := map[string]int{}, map[string]int{}
	same, comparable := 0, 0
	for _, r := range results {
		count[[2]string{r.qpdf, r.became}]++
		if r.became != forbidden && r.became != unfit {
			read[r.qpdf]++
		}
		if r.placed() {
			placed[r.qpdf]++
		}
		switch r.became {
		case equal, flattened:
			same++
			comparable++
		case differs:
			comparable++
		}
		if r.became == panicked || r.became == hung {
			t.Errorf("%s: %s", r.path, r.became)
		}
	}
	columns := []string{"clean", "warnings", "failed"}
	table := fmt.Sprintf("%d files\n%-34s %9s %9s %9s\n", len(results), "qpdf says:", columns[0], columns[1], columns[2])
	for _, row := range []string{equal, flattened, differs, unseen, forbidden, unfit, refuses, panicked, hung} {
		table += fmt.Sprintf("%-34s", row)
		for _, c := range columns {
			table += fmt.Sprintf(" %9d", count[[2]string{c, row}])
		}
		table += "\n"
	}
	table += fmt.Sprintf("placed of what may be: clean %.2f %%, warnings %.2f %%; equal of the comparable: %.2f %%",
		percentOf(placed["clean"], read["clean"]), percentOf(placed["warnings"], read["warnings"]), percentOf(same, comparable))
	t.Log(table)
	t.Log(byCode(results))
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"what qpdf reads cleanly is placed", percentOf(placed["clean"], read["clean"]), 99.5},
		{"what qpdf reads with warnings is placed", percentOf(placed["warnings"], read["warnings"]), 97},
		{"what is placed equals the source", percentOf(same, comparable), 99.5},
	} {
		if c.got < c.want {
			t.Errorf("%.2f %% of %s, want %.1f %%", c.got, c.what, c.want)
		}
	}
}

func percentOf(part, whole int) float64 {
	if whole == 0 {
		return 100
	}
	return 100 * float64(part) / float64(whole)
}
