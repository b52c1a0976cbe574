package plan

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/desk/folder"
)

// TestObstacles: an artwork of another size that is also too wide for its lanes is
// refused for both.
func TestObstacles(t *testing.T) {
	f := opened(t)
	plainLabel(t, f, "390x75mm")
	text := []byte("press: press.yaml\nweb: 340mm\nlabel: 50x75mm\ngap: 3x3mm\nbleed: 0.5mm\nturn: 0\ninks: {technical: [Cutting]}\nartworks:\n- file: artwork/orchard-juice.pdf\n  quantity: 1000\n")
	b := NewBench(f, "old.yaml", compares(t))
	defer b.Close()
	old, err := b.Plan(context.Background(), text)
	if err != nil || !old.Planned() {
		t.Fatalf("the old job: %v %+v", err, old.Faults)
	}
	text, err = old.Again(text, 1, "small.pdf")
	if err != nil {
		t.Fatal(err)
	}
	r, list, err := b.Obstacles(context.Background(), text, "small.pdf")
	if err != nil || r.Planned() {
		t.Fatalf("%v, and it fits", err)
	}
	if len(list) != 2 || !strings.Contains(list[0].Text, "is not the label of 50 x 75 mm") || list[1].Key != "web" {
		t.Errorf("what stands in the way is %+v", list)
	}
}

// TestObstaclesOfOthers: with the label left to the new artwork, the one beside it has
// another size, which is nothing that the new one brings in.
func TestObstaclesOfOthers(t *testing.T) {
	f := opened(t)
	plainLabel(t, f, "60x75mm")
	text := []byte("press: press.yaml\nweb: 340mm\nlabel: 50x75mm\ngap: 3x3mm\nbleed: 0.5mm\nturn: 0\ninks: {technical: [Cutting]}\nartworks:\n- file: artwork/orchard-juice.pdf\n  quantity: 1000\n- file: artwork/orchard-juice.pdf\n  quantity: 2000\n")
	b := NewBench(f, "old.yaml", compares(t))
	defer b.Close()
	old, err := b.Plan(context.Background(), text)
	if err != nil || !old.Planned() {
		t.Fatalf("the old job: %v %+v", err, old.Faults)
	}
	if text, err = old.Again(text, 1, "small.pdf"); err != nil {
		t.Fatal(err)
	}
	_, list, err := b.Obstacles(context.Background(), text, "small.pdf")
	if err != nil || len(list) != 1 || !strings.Contains(list[0].Text, "small.pdf") {
		t.Errorf("%v; what stands in the way is %+v", err, list)
	}
}

// plainLabel writes an artwork of a plain label of the size.
func plainLabel(t testing.TB, f *folder.Folder, label string) {
	var w, h float64
	fmt.Sscanf(label, "%gx%gmm", &w, &h)
	w, h = (w+1)*72/25.4, (h+1)*72/25.4
	content := fmt.Sprintf("0 1 0 0 k 0 0 %g %g re f", w, h)
	text := fmt.Sprintf("%%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"+
		"3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 %g %g]/TrimBox[1.417 1.417 %g %g]/Contents 4 0 R/Resources<<>>>>endobj\n"+
		"4 0 obj<</Length %d>>stream\n%s\nendstream endobj\ntrailer<</Root 1 0 R>>\n", w, h, w-1.417, h-1.417, len(content), content)
	if err := os.WriteFile(filepath.Join(f.Path, "small.pdf"), []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}
