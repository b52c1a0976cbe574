package main

import (
	"encoding/json"
	"fmt"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/impose/summary"
	"quoin/impose/witness"
)

// TestLookAlikesAreShown imposes two strengths of one label beside each other and a
// third label after them, in a job that says nothing of lanes, in one that gives them, and
// in one that counts them: the first parts the two, the others name an order that would.
func TestLookAlikesAreShown(t *testing.T) {
	if testing.Short() {
		t.Skip("draws plates")
	}
	t.Parallel()
	dir := t.TempDir()
	label := func(name, ground string, strength int) string {
		content := fmt.Sprintf("%s 0 0 150 225 re f 0 0 0 1 k 20 150 100 30 re f", ground)
		for i := range strength { // a bar for each
			content += fmt.Sprintf(" %d 30 4 12 re f", 20+8*i)
		}
		pdf := witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
			"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 150 225] /TrimBox [4.134 6.202 145.866 218.798] /Resources << >> /Contents 4 0 R >>", witness.Stream("", content))
		path := filepath.Join(dir, name)
		if err := os.Rename(pdf, path); err != nil {
			t.Fatal(err)
		}
		return path
	}
	files := []string{label("5mg.pdf", ".1 0 .3 0 k", 2), label("10mg.pdf", ".1 0 .3 0 k", 3), label("other.pdf", "0 .9 .1 0 k", 9)}
	picture := filepath.Join(dir, "alike.jpg")
	for _, c := range []struct {
		name  string
		lanes [3]string
		want  [3][]int // lanes
		said  []string
	}{
		{"free", [3]string{}, [3][]int{{1, 2}, {4}, {3}}, []string{"product 1 (5mg.pdf) and product 2 (10mg.pdf), in lanes 1 and 2, and in lane 4,", "alike.jpg", "the lanes stand in the order 1, 3 and 2, in which fewer"}},
		{"listed", [3]string{", lanes: [1, 2]", ", lanes: [3]", ", lanes: [4]"}, [3][]int{{1, 2}, {3}, {4}},
			[]string{"product 1 (5mg.pdf) and product 2 (10mg.pdf), in neighbouring lanes", "named in the order 1, 3 and 2, fewer"}},
		{"counted", [3]string{", lanes: 2", ", lanes: 1", ", lanes: 1"}, [3][]int{{1, 2}, {3}, {4}},
			[]string{"product 1 (5mg.pdf) and product 2 (10mg.pdf), in neighbouring lanes", "named in the order 1, 3 and 2, fewer"}},
	} {
		file := filepath.Join(dir, c.name+".yaml")
		text := "web: 340mm\nedge: 5mm\nlabel: 50x75mm\ngap: 3x3mm\nframe-max: 320mm\nbleed: 1mm\nartworks:\n"
		for i, f := range files {
			text += fmt.Sprintf("  - {file: %q%s}\n", f, c.lanes[i])
		}
		if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		summaryFile := filepath.Join(dir, c.name+".json")
		code, _, said := invoke(t, "impose", file, "-o", filepath.Join(dir, c.name+".pdf"), "--summary", summaryFile, "--alike-picture", picture)
		if code != 0 {
			t.Fatalf("%s: exit code %d: %s", c.name, code, said)
		}
		for _, want := range c.said {
			if !strings.Contains(said, want) {
				t.Errorf("%s: %q isn't said in\n%s", c.name, want, said)
			}
		}
		if c.name == "free" && strings.Contains(said, "in neighbouring lanes") {
			t.Errorf("they are still neighbours: %s", said)
		}
		var s summary.Summary
		data, err := os.ReadFile(summaryFile)
		if err == nil {
			err = json.Unmarshal(data, &s)
		}
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range c.want {
			if got := s.Artworks[i].Lanes; !slices.Equal(got, want) {
				t.Errorf("%s: artwork %d is in lanes %v, not %v", c.name, i+1, got, want)
			}
		}
	}
	// A job that is printed again keeps the lanes that it was printed in, and a lane's
	// number means what stands there: lane 3 carries the third artwork.
	again := filepath.Join(dir, "again.json")
	fourth := label("fourth.pdf", "0 .9 .1 0 k", 7)
	if code, _, said := invoke(t, "again", filepath.Join(dir, "free.yaml"), "--artwork", "3="+fourth, "-n", "--summary", again); code != 0 {
		t.Fatalf("exit code %d: %s", code, said)
	} else if strings.Contains(said, "named in the order") {
		t.Errorf("the order in which they stand is advised: %s", said)
	}
	var s summary.Summary
	data, err := os.ReadFile(again)
	if err == nil {
		err = json.Unmarshal(data, &s)
	}
	if err != nil {
		t.Fatal(err)
	}
	if a := s.Artworks; !slices.Equal(a[1].Lanes, []int{4}) || !slices.Equal(a[2].Lanes, []int{3}) || filepath.Base(a[2].File) != "fourth.pdf" {
		t.Errorf("printed again: %+v", a)
	}
	f, err := os.Open(picture)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if img, err := jpeg.Decode(f); err != nil || img.Bounds().Dx() < 50 || img.Bounds().Dy() < 50 {
		t.Errorf("%v", err)
	}
}
