package verify_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose"
	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/verify"
)

const mm = geometry.Millimetre

// written imposes a job and gives the file and its summary.
func written(t testing.TB, j *job.Job) (pdf, summary string) {
	t.Helper()
	im, err := impose.Open(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	return finished(t, im)
}

// finished writes an imposition and its summary.
func finished(t testing.TB, im *impose.Imposition) (pdf, summary string) {
	t.Helper()
	dir := t.TempDir()
	var b bytes.Buffer
	if err := im.WritePDF(context.Background(), &b); err != nil {
		t.Fatal(err)
	}
	s, err := im.Summary(impose.Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	pdf, summary = filepath.Join(dir, "out.pdf"), filepath.Join(dir, "out.json")
	for path, data := range map[string][]byte{pdf: b.Bytes(), summary: text} {
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return pdf, summary
}

// verified proves a file.
func verified(t testing.TB, pdf, summary string) *verify.Result {
	t.Helper()
	plan, err := verify.ReadExpected(summary)
	if err != nil {
		t.Fatal(err)
	}
	r, err := verify.File(context.Background(), pdf, plan, verify.Options{Summary: summary})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// small gives a job that puts two lanes and two rows of an artwork on a web.
func small(path string, turn geometry.Turn) *job.Job {
	j := job.New()
	j.Name = "small"
	j.WebWidth = 900 * mm
	j.Artworks = []job.Artwork{{File: path, Page: 1, Quantity: 100}}
	j.Turns = []geometry.Turn{turn}
	j.Gap = geometry.Size{Across: 4 * mm, Around: 4 * mm}
	j.Bleed = 1 * mm
	j.Lanes, j.Rows = 2, 2
	j.Repeat.Longest = 2000 * mm
	return j
}

// TestUndamagedFilesAreAsPlanned imposes every artwork of the repository that
// can be placed, in all turns, and proves the file.
func TestUndamagedFilesAreAsPlanned(t *testing.T) {
	var files []string
	for _, pattern := range []string{"../../testdata/artwork/*.pdf", "../../testdata/placing/*.pdf", "../../samples/artwork/*.pdf"} {
		found, err := filepath.Glob(pattern)
		if err != nil || len(found) == 0 {
			t.Fatalf("%s: %d files, %v", pattern, len(found), err)
		}
		files = append(files, found...)
	}
	placed := 0
	for i, path := range files {
		if !trials.Long() && i%3 != 0 {
			continue
		}
		im, err := impose.Open(context.Background(), small(path, geometry.Turn(i%4)))
		var refused *artwork.Error
		if errors.As(err, &refused) && strings.HasPrefix(filepath.Base(path), "encrypted-") {
			continue // says so itself
		}
		if err != nil {
			t.Fatal(err)
		}
		pdf, summary := finished(t, im)
		im.Close()
		r := verified(t, pdf, summary)
		// A page without content has no ink to draw marks in.
		if !r.Same || r.Stations != 4 || r.Drawn == 0 && filepath.Base(path) != "contents-none.pdf" {
			t.Errorf("%s: %+v", filepath.Base(path), r)
		}
		placed++
	}
	if placed < 20 {
		t.Errorf("only %d files were placed", placed)
	}
}

// TestSampleJobIsAsPlanned proves the sample job: three artworks in six lanes.
func TestSampleJobIsAsPlanned(t *testing.T) {
	j, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	pdf, summary := written(t, j)
	r := verified(t, pdf, summary)
	if !r.Same || r.Stations != 72 || r.Artworks != 3 || r.Streams < 10 || r.Drawn < 100 {
		t.Errorf("%+v", r)
	}
}

// TestWhiteAndSecondSurfaceAreAsPlanned proves frames with underprints of both
// shapes, mirrored and turned.
func TestWhiteAndSecondSurfaceAreAsPlanned(t *testing.T) {
	for i, shape := range []job.UnderprintShape{job.Flood, job.ByShape} {
		for _, mirror := range []bool{false, true} {
			j := small("../../samples/artwork/orchard-cider.pdf", geometry.Turn(i))
			j.Mirror = mirror
			j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: shape, Choke: mm / 5, Hits: 2}
			pdf, summary := written(t, j)
			if r := verified(t, pdf, summary); !r.Same || r.Stations != 4 {
				t.Errorf("%s, mirrored %t: %+v", shape, mirror, r)
			}
		}
	}
}

// TestCoverThatIsNotAsPlanned edits the plan: another choke, or none.
func TestCoverThatIsNotAsPlanned(t *testing.T) {
	j := small("../../samples/artwork/orchard-cider.pdf", geometry.Turn0)
	j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.ByShape, Choke: mm / 5, Hits: 1}
	pdf, summary := written(t, j)
	text, err := os.ReadFile(summary)
	if err != nil {
		t.Fatal(err)
	}
	for _, other := range []string{`"choke_pt":0.6`, `"choke_pt":0`} {
		edited := regexp.MustCompile(`"choke_pt":[0-9.]+`).ReplaceAll(text, []byte(other))
		if err := os.WriteFile(summary, edited, 0o666); err != nil {
			t.Fatal(err)
		}
		if r := verified(t, pdf, summary); r.Same || len(r.Differences) != 4 || r.Differences[0].Code != verify.CoverShape {
			t.Errorf("%s: %+v", other, r)
		}
	}
}
