package deskwalk

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"quoin/impose/witness"
)

// twin writes a label of 50 x 75 mm with a bar for each mg of its strength.
func twin(t *testing.T, path, ground string, strength int) {
	t.Helper()
	content := fmt.Sprintf("%s 0 0 150 225 re f 0 0 0 1 k 20 150 100 30 re f", ground)
	for i := range strength {
		content += fmt.Sprintf(" %d 30 4 12 re f", 20+8*i)
	}
	pdf := witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 150 225] /TrimBox [4.134 6.202 145.866 218.798] /Resources << >> /Contents 4 0 R >>", witness.Stream("", content))
	if err := os.Rename(pdf, path); err != nil {
		t.Fatal(err)
	}
}

// alikeIn returns the texts of warnings about look-alikes, and whether each has a
// picture.
func alikeIn(list any) (texts []string, pictures bool) {
	pictures = true
	all, _ := list.([]any)
	for _, w := range all {
		m := w.(map[string]any)
		if m["code"] == "look-alike" {
			texts = append(texts, m["text"].(string))
			_, has := m["png"]
			pictures = pictures && has
		}
	}
	return texts, pictures
}

// TestDeskPartsLookAlikes: labels that look alike stand on the page where the desk's
// Write and quoin impose in a shell put them, and all three say the same of them; in
// a job that leaves its lanes open, in one that gives them, and after a change.
func TestDeskPartsLookAlikes(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("draws plates")
	}
	dir := t.TempDir()
	twin(t, filepath.Join(dir, "5mg.pdf"), ".1 0 .3 0 k", 2)
	twin(t, filepath.Join(dir, "10mg.pdf"), ".1 0 .3 0 k", 3)
	twin(t, filepath.Join(dir, "other.pdf"), "0 .9 .1 0 k", 9)
	job := func(web int, lanes ...string) string {
		text := fmt.Sprintf("web: %dmm\nedge: 5mm\nlabel: 50x75mm\ngap: 3x3mm\nframe-max: 320mm\nbleed: 1mm\nartworks:\n", web)
		for i, f := range []string{"5mg.pdf", "10mg.pdf", "other.pdf"} {
			text += fmt.Sprintf("  - {file: %s%s}\n", f, lanes[i])
		}
		return text
	}
	put(t, filepath.Join(dir, "free.yaml"), job(340, "", "", ""))
	put(t, filepath.Join(dir, "given.yaml"), job(340, ", lanes: [1, 2]", ", lanes: [3]", ", lanes: [4]"))
	d := openDesk(t, dir)
	_, schema := d.ask("GET", "/schema", "")
	valid := deskSchema(t, schema)
	check := func(name string, lanes string) {
		t.Helper()
		code, text := d.ask("GET", "/job/"+name+".yaml", "")
		if code != 200 {
			t.Fatalf("%s: %d %.300s", name, code, text)
		}
		valid(name, text)
		page := values(t, text)
		planned := page["summary"].(map[string]any)
		written := d.written(dir, name+".yaml")
		quoin, err := program()
		if err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(quoin, "impose", name+".yaml", "-o", "shell.pdf", "--summary", "shell.json")
		cmd.Dir = dir
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", name, err, out)
		}
		var files [3][]byte
		for i, path := range []string{"out/" + name + ".pdf", "shell.pdf", "shell.json"} {
			if files[i], err = os.ReadFile(filepath.Join(dir, path)); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(files[0], files[1]) {
			t.Errorf("%s: the desk writes another PDF than the shell", name)
		}
		shell := values(t, string(files[2]))
		for what, other := range map[string]map[string]any{"the desk's Write": written, "the shell": shell} {
			for _, key := range []string{"layout", "lanes", "stations"} {
				if diff := cmp.Diff(planned[key], other[key]); diff != "" {
					t.Errorf("%s: on the page %s is not that of %s (-page +other):\n%s", name, key, what, diff)
				}
			}
		}
		var stand []any // artworks by lane
		for _, l := range planned["lanes"].([]any) {
			stand = append(stand, l.(map[string]any)["artwork"])
		}
		if got := fmt.Sprint(stand); got != lanes {
			t.Errorf("%s: the lanes carry %s, want %s", name, got, lanes)
		}
		drawn := make([]float64, len(stand)) // artwork by lane, on the page's picture
		for _, s := range page["frame"].(map[string]any)["stations"].([]any) {
			st := s.([]any)
			drawn[int(st[0].(float64))-1] = st[2].(float64)
		}
		if got := fmt.Sprint(drawn); got != lanes {
			t.Errorf("%s: the page's picture has %s, want %s", name, got, lanes)
		}
		said, _ := alikeIn(shell["warnings"])
		told, pictures := alikeIn(page["remarks"])
		if len(said) != 1 || !pictures || cmp.Diff(said, told) != "" {
			t.Errorf("%s: the shell says %q, the page %q, each with a picture: %t", name, said, told, pictures)
		}
	}
	check("free", "[1 1 3 2]")
	check("given", "[1 1 2 3]")
	// A new artwork for the third takes its lane, and the others keep theirs.
	twin(t, filepath.Join(dir, "new.pdf"), ".1 0 .3 0 k", 4)
	code, text := d.ask("POST", "/again/free.yaml", `{"artwork":3,"with":"new.pdf"}`)
	if code != 201 {
		t.Fatalf("%d %s", code, text)
	}
	check("free-2", "[1 1 3 2]")
	put(t, filepath.Join(dir, "free.yaml"), job(300, "", "", ""))
	check("free", "[1 1 3 2 2]") // turned
}
