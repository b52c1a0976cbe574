package verify

import (
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
		h := newHasty(&Options{Summary: filepath.Join(dir, "s.json")}, len(test.paths))
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
