package verify

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// TestHastyKnowsWhetherItWasRight: an artwork that is another than was placed, or that
// lies nowhere, is never taken for the one that was placed.
func TestHastyKnowsWhetherItWasRight(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		return path
	}
	a, b := file("a.pdf", "one"), file("b.pdf", "two")
	sum, err := sha256Of(a)
	if err != nil {
		t.Fatal(err)
	}
	for name, test := range map[string]struct {
		paths        []string
		found, right bool
	}{
		"the one":      {[]string{a}, true, true},
		"another":      {[]string{b}, true, false},
		"both":         {[]string{a, b}, true, false},
		"lies nowhere": {[]string{filepath.Join(dir, "c.pdf")}, false, true},
		"no file":      {[]string{dir}, false, true},
	} {
		h := newHasty(&Options{Summary: filepath.Join(dir, "s.json")})
		for _, path := range test.paths {
			if _, _, err := h.find(path, sum); (err == nil) != test.found {
				t.Errorf("%s: %v", name, err)
			}
		}
		if right := h.wasRight(); right != test.right {
			t.Errorf("%s: right %t", name, right)
		}
	}
}

// TestEarlySumsAreOfTheFileThatIsTaken: what was hashed ahead counts only as long as the
// file is still the same.
func TestEarlySumsAreOfTheFileThatIsTaken(t *testing.T) {
	for text, right := range map[string]bool{"": true, "one": false, "another": false} {
		path := filepath.Join(t.TempDir(), "a.pdf")
		if err := os.WriteFile(path, []byte("two"), 0o666); err != nil {
			t.Fatal(err)
		}
		sum, err := sha256Of(path)
		if err != nil {
			t.Fatal(err)
		}
		plan := &Expected{}
		if err := json.Unmarshal(fmt.Appendf(nil, `{"artworks": [{"path": %q}], "files": [{"role": "artwork", "path": %[1]q, "sha256": %q}]}`, path, sum), plan); err != nil {
			t.Fatal(err)
		}
		opt := Early(plan, Options{})
		if len(opt.early) != 1 || !opt.early[0].right() {
			t.Fatalf("%v", opt.early)
		}
		if text != "" { // made anew, as programs do that save a file
			if err := os.WriteFile(path+".new", []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
			if err := os.Rename(path+".new", path); err != nil {
				t.Fatal(err)
			}
		}
		h := newHasty(&opt)
		h.early = opt.early
		if _, _, err := h.find(path, sum); err != nil {
			t.Fatal(err)
		}
		if h.wasRight() != right {
			t.Errorf("%q: right %t", text, !right)
		}
	}
}
