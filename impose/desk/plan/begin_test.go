package plan

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/alike"
	"quoin/impose/desk/edit"
	"quoin/impose/desk/folder"
)

// opened copies the samples into a folder and opens it.
func opened(t testing.TB) *folder.Folder {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../../samples")); err != nil {
		t.Fatal(err)
	}
	f, err := folder.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// compares returns what compares labels, here in the test's own process.
func compares(t testing.TB) alike.Comparer {
	f := alike.New()
	t.Cleanup(func() { f.Close() })
	return f
}

// TestBegin begins jobs of the samples' artworks: the last press, web and material
// are the proposal, and the bleed is no more than the artwork has.
func TestBegin(t *testing.T) {
	f := opened(t)
	last, err := os.ReadFile(filepath.Join(f.Path, "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	text, err := Begin(f, []string{"artwork/orchard-juice.pdf", "artwork/orchard-perry.pdf"}, last)
	if err != nil {
		t.Fatal(err)
	}
	said := edit.Values(text)
	for key, want := range map[string]string{"press": "press.yaml", "web": "340mm", "material.kind": "film", "bleed": "1.2mm", "targets.along": "true",
		"artworks[0].file": "artwork/orchard-juice.pdf", "artworks[1].product": "orchard-perry", "name": "", "artworks[0].quantity": "", "inks.technical": "[Cutting]"} {
		if said[key] != want {
			t.Errorf("%s is %q, want %q", key, said[key], want)
		}
	}
	b := NewBench(f, "new.yaml", compares(t))
	defer b.Close()
	r, err := b.Plan(context.Background(), text)
	if err != nil || !r.Planned() || len(r.Products) != 2 {
		t.Fatalf("%v %v", err, r.Faults)
	}
	if last, err = edit.Apply(last, Order, edit.Edit{Key: "bleed", Value: "9mm"}); err != nil {
		t.Fatal(err)
	}
	if text, err = Begin(f, []string{"artwork/orchard-juice.pdf"}, last); err != nil || edit.Values(text)["bleed"] != "2mm" {
		t.Errorf("the artwork's bleed is 2 mm; the job has %q (%v)", edit.Values(text)["bleed"], err)
	}
	if text, err = Begin(f, []string{"artwork/orchard-juice.pdf"}, nil); err != nil || edit.Values(text)["press"] != "press.yaml" {
		t.Errorf("without a job before it, the folder's press is %q (%v)", edit.Values(text)["press"], err)
	}
}

// TestWaysFit: each way that is offered gives a frame when it is taken.
func TestWaysFit(t *testing.T) {
	f := opened(t)
	for name, c := range map[string]struct {
		edits []edit.Edit
		key   string // of the value that shows it
	}{
		"too many lanes":          {[]edit.Edit{{Key: "artworks[0].lanes", Value: "9"}}, ""},
		"a label too wide":        {[]edit.Edit{{Key: "web", Value: "100mm"}, {Key: "artworks[0].lanes"}, {Key: "artworks[1].lanes"}, {Key: "artworks[2].lanes"}}, "web"},
		"too many rows":           {[]edit.Edit{{Key: "rows", Value: "14"}}, "rows"},
		"a web beyond the press":  {[]edit.Edit{{Key: "web", Value: "500mm"}}, "web"},
		"a die that is not there": {[]edit.Edit{{Key: "dies", Value: "dies.yaml"}, {Key: "die", Value: "9999"}, {Key: "frame-max"}}, "die"},
	} {
		text, err := os.ReadFile(filepath.Join(f.Path, "job.yaml"))
		if err != nil {
			t.Fatal(err)
		}
		if text, err = edit.Apply(text, Order, c.edits...); err != nil {
			t.Fatal(err)
		}
		b := NewBench(f, "job.yaml", compares(t))
		r, err := b.Plan(context.Background(), text)
		if err != nil || r.Planned() {
			t.Fatalf("%s: %v, and it fits", name, err)
		}
		if c.key != "" {
			if v, _ := r.Find(c.key); v.Fault == "" || len(v.Ways) == 0 {
				t.Errorf("%s: %s shows %q with %d ways; faults %+v", name, c.key, v.Fault, len(v.Ways), r.Faults)
			}
		}
		for _, w := range r.Faults[0].Ways {
			next, err := edit.Apply(text, Order, w.Edits...)
			if err != nil {
				t.Fatal(err)
			}
			if n, err := b.Plan(context.Background(), next); err != nil || !n.Planned() {
				t.Errorf("%s: %s gives no frame: %v", name, w.Label, n.Faults)
			}
		}
		b.Close()
	}
}

// TestChangesSayFromWhat compares numbers of one kind only.
func TestChangesSayFromWhat(t *testing.T) {
	f := opened(t)
	text, err := os.ReadFile(filepath.Join(f.Path, "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	b := NewBench(f, "job.yaml", compares(t))
	defer b.Close()
	before, err := b.Plan(context.Background(), text)
	if err != nil {
		t.Fatal(err)
	}
	next, err := edit.Apply(text, Order, edit.Edit{Key: "frame-max", Value: "500mm"})
	if err != nil {
		t.Fatal(err)
	}
	after, err := b.Plan(context.Background(), next)
	if err != nil {
		t.Fatal(err)
	}
	got := ""
	for _, c := range Changes(before, after) {
		got += c.Label + ": " + c.From + " > " + c.To + "; "
	}
	if !strings.Contains(got, "Labels a frame: 6 × 12 = 72 > 6 × 6 = 36; ") || !strings.Contains(got, "Frame: 938.1 mm > 469.05 mm") {
		t.Errorf("the changes are %s", got)
	}
}
