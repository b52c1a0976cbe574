package plan

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/desk/edit"
	"quoin/impose/desk/folder"
)

// housed is a folder with a job that lives on two houses: the one beside it, and
// the user's own, which is elsewhere and names a press there.
func housed(t *testing.T) (f *folder.Folder, job string) {
	t.Helper()
	f = opened(t)
	own := t.TempDir()
	press, err := os.ReadFile(filepath.Join(f.Path, "press.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	job = "artworks: [{file: artwork/orchard-juice.pdf, quantity: 10000}]\n"
	for path, text := range map[string]string{
		filepath.Join(own, "own-press.yaml"):    string(press),
		filepath.Join(own, "house.yaml"):        "press: own-press.yaml\nweb: 330mm\ngap: 4x4mm\nmaterial: {kind: paper}\n",
		filepath.Join(f.Path, "house.yaml"):     "gap: 3x3mm\nframe-max: 500mm\ninks: {technical: [Cutting]}\n",
		filepath.Join(f.Path, "housed.yaml"):    job,
		filepath.Join(f.Path, "sub", "it.yaml"): "artworks: [{file: ../artwork/orchard-juice.pdf, quantity: 10000}]\n",
	} {
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	f.House = filepath.Join(own, "house.yaml")
	return f, job
}

// TestHouses: a job is planned over the house beside it and the user's own, each
// value says where it is from, and what a house says anew is planned anew.
func TestHouses(t *testing.T) {
	f, text := housed(t)
	b := NewBench(f, "housed.yaml", compares(t))
	defer b.Close()
	r, err := b.Plan(context.Background(), []byte(text))
	if err != nil || !r.Planned() {
		t.Fatalf("%v %+v", err, r.Faults)
	}
	for key, want := range map[string][2]string{"web": {"330", f.House + ":2"}, "gap": {"3x3", "house.yaml:1"}, "frame-max": {"500", "house.yaml:2"}, "material.kind": {"paper", f.House + ":4"}, "rows": {"6", ""}} {
		if v, _ := r.Find(key); v.Now != want[0] || v.House != want[1] || v.Said != "" {
			t.Errorf("%s is %q from %q, want %q", key, v.Now, v.House, want)
		}
	}
	if len(r.Houses) != 2 || r.Houses[0].Path != "house.yaml" || r.Summary.House[1].Path != f.House {
		t.Errorf("the houses are %+v", r.Houses)
	}
	if again, _ := b.Plan(context.Background(), []byte(text)); again != r {
		t.Error("it is planned again though nothing has changed")
	}
	if err := os.WriteFile(f.House, []byte("press: own-press.yaml\nweb: 250mm\n# another\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	r, err = b.Plan(context.Background(), []byte(text))
	if v, _ := r.Find("web"); err != nil || v.Now != "250" {
		t.Errorf("the user's house now says 250 mm, the plan %q (%v)", v.Now, err)
	}
	if err := os.Remove(filepath.Join(f.Path, "house.yaml")); err != nil {
		t.Fatal(err)
	}
	r, err = b.Plan(context.Background(), []byte(text))
	if v, _ := r.Find("gap"); err != nil || v.House != "" {
		t.Errorf("the house beside the job is gone, the gap still from %q (%v)", v.House, err)
	}
	below := NewBench(f, "sub/it.yaml", compares(t))
	defer below.Close()
	if r, err = below.Plan(context.Background(), []byte("artworks: [{file: ../artwork/orchard-juice.pdf, quantity: 10000}]\n")); err != nil || !r.Planned() {
		t.Errorf("a job in a folder of its own: %v %+v", err, r.Faults)
	}
}

// TestHouseBesideLeadsNowhere: only the user's own house may name files outside.
func TestHouseBesideLeadsNowhere(t *testing.T) {
	f, text := housed(t)
	away := filepath.Join(filepath.Dir(f.House), "own-press.yaml")
	f.House = ""
	if err := os.WriteFile(filepath.Join(f.Path, "house.yaml"), []byte("press: "+away+"\nweb: 330mm\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	b := NewBench(f, "housed.yaml", compares(t))
	defer b.Close()
	r, err := b.Plan(context.Background(), []byte(text))
	if err != nil || r.Planned() || len(r.Faults) == 0 || !strings.Contains(r.Faults[0].Text, "out of the folder") {
		t.Errorf("the house beside the job names a press outside: %v %+v", err, r.Faults)
	}
}

// TestBeginUnderHouse begins a job that says nothing which the house says.
func TestBeginUnderHouse(t *testing.T) {
	f, _ := housed(t)
	if err := os.WriteFile(filepath.Join(f.Path, "house.yaml"), []byte("gap: 3x3mm\nbleed: 1mm\ndies: dies.yaml\ninks: {technical: [Cutting]}\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	text, err := Begin(f, []string{"artwork/orchard-juice.pdf"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	said := edit.Values(text)
	for _, key := range []string{"press", "dies", "bleed", "inks.technical"} {
		if said[key] != "" {
			t.Errorf("%s is %q, which the house says", key, said[key])
		}
	}
	b := NewBench(f, "new.yaml", compares(t))
	defer b.Close()
	if r, err := b.Plan(context.Background(), text); err != nil || !r.Planned() {
		t.Errorf("%v %+v\n%s", err, r.Faults, text)
	}
}
