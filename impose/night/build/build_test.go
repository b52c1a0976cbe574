package build

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/artwork"
	"quoin/impose/night"
	"quoin/impose/night/folder"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/plan"
	"quoin/impose/night/report"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/wholefile"
	"quoin/impose/witness"
)

func TestRunsAreImposedWithTheirOrdersInTheirLanes(t *testing.T) {
	qpdf := witness.Need(t, "qpdf")
	dir, all, r := nighttest.Desk(t, nighttest.DeskOrders)
	r.Verify = true
	f := nighttest.Folder(t, filepath.Join(dir, "night"))
	p, err := plan.Make(t.Context(), all, r, f)
	if err != nil {
		t.Fatal(err)
	}
	if err := Runs(t.Context(), f, p, r, nil); err != nil {
		t.Fatal(err)
	}
	if err := report.Write(f, p); err != nil {
		t.Fatal(err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	if len(p.Runs) != 2 || len(p.Unplanned) > 0 {
		t.Fatalf("%d runs, left out %v", len(p.Runs), p.Unplanned)
	}
	for _, run := range p.Runs {
		path := filepath.Join(dir, "night", run.Name)
		if out, err := exec.Command(qpdf, "--check", path+".pdf").CombinedOutput(); err != nil {
			t.Errorf("qpdf: %v\n%s", err, out)
		}
		data, err := os.ReadFile(path + ".json")
		if err != nil {
			t.Fatal(err)
		}
		var s summary.Summary
		if err := json.Unmarshal(data, &s); err != nil {
			t.Fatal(err)
		}
		if s.Run.Frames != run.Frames || len(s.Artworks) != len(run.Orders) || s.Layout.Across != run.Lanes {
			t.Errorf("%s: the summary has %d frames, the plan %d", run.Name, s.Run.Frames, run.Frames)
		}
		for i, a := range s.Artworks {
			o := run.Orders[i]
			if len(a.Lanes) != int(o.Lanes) || a.Labels != o.Labels || a.Ordered != o.Ordered || !strings.HasPrefix(a.Product, o.Order+" ") {
				t.Errorf("%s: %+v in the summary, %+v in the plan", run.Name, a, o)
			}
			sum, err := wholefile.SHA256(filepath.Join(dir, o.Artwork))
			if err != nil || o.SHA256 != sum {
				t.Errorf("%s: artwork %s, want %s (%v)", run.Name, o.SHA256, sum, err)
			}
		}
		if run.Files[0].SHA256 != f.Sum(run.Name+".pdf") || run.Files[0].SHA256 == "" {
			t.Errorf("%s: files %+v", run.Name, run.Files)
		}
	}
}

func TestOneRunThatFailsStopsNoOther(t *testing.T) {
	dir, all, r := nighttest.Desk(t, nighttest.DeskOrders)
	f := nighttest.Folder(t, filepath.Join(dir, "night"))
	p, err := plan.Make(t.Context(), all, r, f)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(dir, "cider.pdf")); err != nil { // after it was looked at
		t.Fatal(err)
	}
	if err := Runs(t.Context(), f, p, r, nil); err != nil {
		t.Fatal(err)
	}
	if len(p.Runs) != 1 || nighttest.CodeOf(p.Unplanned, "3") != night.BadArtwork || p.Total.Orders != 2 || p.Total.Runs != 1 {
		t.Errorf("%d runs, left out %v, total %+v", len(p.Runs), p.Unplanned, p.Total)
	}
	if p.Alone.Runs != 2 {
		t.Errorf("set beside %d orders alone", p.Alone.Runs)
	}
}

func TestCancelledNightKeepsWhatIsFinished(t *testing.T) {
	dir, all, r := nighttest.Desk(t, nighttest.DeskOrders)
	f := nighttest.Folder(t, filepath.Join(dir, "night"))
	p, err := plan.Make(t.Context(), all, r, f)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := Runs(ctx, f, p, r, nil); !errors.Is(err, ctx.Err()) {
		t.Errorf("a cancelled night ends with %v", err)
	}
}

func TestKeyChangesWithWhatTheNightDependsOn(t *testing.T) {
	dir, all, _ := nighttest.Desk(t, nighttest.DeskOrders)
	inputs := []summary.File{{Role: "orders", Path: "orders.csv", SHA256: "1"}}
	key := func(words ...string) string {
		k, err := Key(t.Context(), inputs, all, words)
		if err != nil {
			t.Fatal(err)
		}
		return k
	}
	keys := []string{key("a"), key("b")}
	inputs[0].SHA256 = "2"
	keys = append(keys, key("a"))
	if err := os.WriteFile(filepath.Join(dir, "cider.pdf"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	keys = append(keys, key("a"))
	os.Remove(filepath.Join(dir, "cider.pdf"))
	keys = append(keys, key("a"))
	if again := key("a"); again != keys[4] {
		t.Error("the same night has two keys")
	}
	slices.Sort(keys)
	if len(slices.Compact(keys)) != 5 {
		t.Errorf("keys %q", keys)
	}
}

// TestKeptRunsAreProvedToo: a start that is told to verify looks at what an
// earlier start left without looking, and makes again what is not as planned.
func TestKeptRunsAreProvedToo(t *testing.T) {
	dir, all, r := nighttest.Desk(t, nighttest.DeskOrders)
	place := filepath.Join(dir, "night")
	build := func() (*plan.Plan, *folder.Folder) {
		f := nighttest.Folder(t, place)
		p, err := plan.Make(t.Context(), all, r, f)
		if err != nil {
			t.Fatal(err)
		}
		if err := Runs(t.Context(), f, p, r, nil); err != nil {
			t.Fatal(err)
		}
		return p, f
	}
	first, f := build()
	good := first.Runs[0].Files[0].SHA256
	// The other run's PDF under the first one's name: a true file, the wrong one.
	swap := func(f *folder.Folder, p *plan.Plan) {
		data, err := os.ReadFile(f.Path(pdfOf(&p.Runs[1])))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write(pdfOf(&p.Runs[0]), func(w io.Writer) error { _, err := w.Write(data); return err }); err != nil {
			t.Fatal(err)
		}
	}
	swap(f, first)
	if err := Prove(t.Context(), f, first, r, nil); err == nil || !strings.Contains(err.Error(), "run-001.pdf is not as planned") {
		t.Errorf("the wrong file is proved: %v", err)
	}
	f.Close()
	r.Verify = true
	second, f := build()
	if got := second.Runs[0].Files[0].SHA256; got != good {
		t.Errorf("the wrong file was kept: %s, want %s", got, good)
	}
	if err := Prove(t.Context(), f, second, r, nil); err != nil {
		t.Error(err)
	}
}

// TestRunsAreProvedByPixels: the plan says what the plates showed, and the plates
// of another run are found.
func TestRunsAreProvedByPixels(t *testing.T) {
	if testing.Short() {
		t.Skip("draws")
	}
	_, all, r := nighttest.Desk(t, nighttest.DeskOrders)
	r.Pixels = true
	f := nighttest.Folder(t, filepath.Join(t.TempDir(), "night"))
	p := made(t, all[:2], r)
	if err := Runs(t.Context(), f, p, r, nil); err != nil || len(p.Runs) == 0 {
		t.Fatal(err, p.Unplanned)
	}
	proof := p.Runs[0].Proof
	if proof == nil || !proof.Bytes || proof.Pixels == nil {
		t.Fatalf("the proof is %+v", proof)
	}
	if x := proof.Pixels; x.Stations != p.Runs[0].Lanes*p.Runs[0].Rows || x.Distinct < 1 || x.Distinct > 2*len(p.Runs[0].Orders) || x.Worst > 3 {
		t.Errorf("the pixels are %+v", x)
	}
	data, err := os.ReadFile(f.Path(summaryOf(&p.Runs[0])))
	if err != nil {
		t.Fatal(err)
	}
	var said map[string]any
	if err := json.Unmarshal(data, &said); err != nil {
		t.Fatal(err)
	}
	trim := said["stations"].([]any)[0].(map[string]any)["trim_pt"].([]any)
	trim[0], trim[2] = trim[0].(float64)+1, trim[2].(float64)+1
	if _, err := f.Write(summaryOf(&p.Runs[0]), func(w io.Writer) error { return json.NewEncoder(w).Encode(said) }); err != nil {
		t.Fatal(err)
	}
	v := newProver(f, r)
	defer v.close()
	if err := v.plates(t.Context(), &p.Runs[0], nil); err == nil || !strings.Contains(err.Error(), "run-001.pdf is not as planned") {
		t.Errorf("a label that stands a third of a millimetre off is proved: %v", err)
	}
}

// TestRunsPlatesAreLookedAt: where the house says from-cut, each run's labels are
// looked at, and what is found names the product.
func TestRunsPlatesAreLookedAt(t *testing.T) {
	_, all, r := nighttest.Desk(t, nighttest.DeskOrders)
	asked := 0
	r.Plates = func(_ context.Context, p *artwork.Page, limit float64, fromCut geometry.Length, _ outline.Outline) ([]artwork.Finding, error) {
		asked++
		if limit != 0 || fromCut != 3*geometry.Millimetre {
			t.Errorf("looked for %v and %v", limit, fromCut)
		}
		return []artwork.Finding{{Level: artwork.Warning, Code: artwork.NearCut, Text: "text stands 0.20 mm from the cut"}, {Level: artwork.Notice, Code: artwork.InkSparse, Text: "hardly any"}}, nil
	}
	build := func() *plan.Run {
		f := nighttest.Folder(t, filepath.Join(t.TempDir(), "night"))
		p := made(t, all[:1], r)
		if err := Runs(t.Context(), f, p, r, nil); err != nil || len(p.Runs) == 0 {
			t.Fatal(err, p.Unplanned)
		}
		return &p.Runs[0]
	}
	if build(); asked != 0 {
		t.Errorf("asked %d times though nobody says what for", asked)
	}
	three := 3 * geometry.Millimetre
	r.House.FromCut = &three
	run := build()
	if !slices.Contains(run.Warnings, say.Note{Code: artwork.NearCut, Text: "product 1: text stands 0.20 mm from the cut"}) || asked != len(run.Orders) {
		t.Errorf("asked %d times; warnings %v", asked, run.Warnings)
	}
}
