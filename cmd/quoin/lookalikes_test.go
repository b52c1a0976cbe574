package main

import (
	"fmt"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// TestLookAlikesAreShown imposes two strengths of one label beside each other and a
// third label after them: the warning names the place, its picture and an order of the
// artworks that parts the two.
func TestLookAlikesAreShown(t *testing.T) {
	if testing.Short() {
		t.Skip("draws plates")
	}
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
	job := filepath.Join(dir, "job.yaml")
	text := fmt.Sprintf("web: 340mm\nedge: 5mm\nlabel: 50x75mm\ngap: 3x3mm\nframe-max: 320mm\nbleed: 1mm\nartworks: [{file: %q}, {file: %q}, {file: %q}]\n",
		label("5mg.pdf", ".1 0 .3 0 k", 2), label("10mg.pdf", ".1 0 .3 0 k", 3), label("other.pdf", "0 .9 .1 0 k", 9))
	if err := os.WriteFile(job, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	picture := filepath.Join(dir, "alike.jpg")
	code, _, said := invoke(t, "impose", job, "-o", filepath.Join(dir, "out.pdf"), "--alike-picture", picture)
	if code != 0 {
		t.Fatalf("exit code %d: %s", code, said)
	}
	for _, want := range []string{"product 1 and product 2, in neighbouring lanes", "alike.jpg", "named in the order 1, 3 and 2, fewer"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q isn't said in\n%s", want, said)
		}
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
