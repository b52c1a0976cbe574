package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/witness"
)

// TestSymbolsAreReadAsTheyPrint: the proof reads symbols over which a renderer paints
// the white that overprints, and symbols in colour and on one.
func TestSymbolsAreReadAsTheyPrint(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	for _, c := range trials.Each(2, []struct{ name, ground, job, ink string }{
		{"white that overprints", ".1 0 .05 0", "material: {kind: film, name: clear}\ninks: {underprint: {ink: Opaque, shape: artwork}}\n", "Black"},
		{"a flood of white", ".1 0 .05 0", "material: {kind: film, name: clear}\ninks: {underprint: {ink: White, shape: flood}}\n", "Black"},
		{"cyan", "0 0 0 0", "", "Cyan"},
		{"black on yellow", "0 0 1 0", "", "Black"},
		{"cyan on yellow", "0 0 1 0", "", "Cyan"},
		{"magenta", "0 0 0 0", "", "Magenta"},
	}) {
		dir := t.TempDir()
		art := witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
			"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 150 225] /TrimBox [4.134 6.202 145.866 218.798] /Resources << >> /Contents 4 0 R >>",
			witness.Stream("", c.ground+" k 0 0 150 225 re f .3 .2 .1 .1 k 0 0 150 30 re f"))
		text := fmt.Sprintf("web: 340mm\nedge: 5mm\nlabel: 50x75mm\ngap: 3x3mm\nframe-max: 320mm\nbleed: 1mm\nwindings: 1\n%sartworks: [{file: %q}]\n"+
			"data: {count: 24, counters: [{name: n, start: 1, digits: 5}]}\n"+
			"fields: [{name: code, value: \"N{n}\", at: 20x20mm, symbol: data-matrix, module: 0.5mm, ink: %s}]\n", c.job, art, c.ink)
		file := filepath.Join(dir, "job.yaml")
		if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		code, out, said := invoke(t, "vary", file, "-o", filepath.Join(dir, "run.pdf"), "--device-dpi", "1200")
		if code != 0 || !strings.Contains(out, "24 symbols read back") {
			t.Errorf("%s: exit code %d, %s\n%s", c.name, code, out, said)
		}
	}
}
