package artwork

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/ink"
	"quoin/impose/witness"
)

// TestForeignArtwork inspects labels that other programs wrote: the inks must
// be those of Ghostscript's plates, and the sizes those that were designed.
func TestForeignArtwork(t *testing.T) {
	files, err := filepath.Glob("../../testdata/artwork/*.pdf")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	var pages []*Page
	for _, file := range files {
		p := open(t, file, Options{Bleed: 1500 * geometry.Micrometre})
		pages = append(pages, p)
		// Every one was designed in whole millimetres, the trim to 0.01 pt.
		s := p.Size()
		for _, l := range []geometry.Length{s.Across, s.Around} {
			if off := l % geometry.Millimetre; min(off, geometry.Millimetre-off) > 4*geometry.Micrometre {
				t.Errorf("%s: %v", file, s)
			}
		}
		if strings.Contains(codes(p), BleedShort) {
			t.Errorf("%s: %s", file, text(p, BleedShort))
		}
		if i := slices.IndexFunc(p.Inks, func(u Usage) bool { return u.Kind == ink.Technical }); i >= 0 && p.Inks[i].Name != "Cutting" {
			t.Errorf("%s: %s is technical", file, p.Inks[i].Name)
		}
	}
	if testing.Short() {
		return
	}
	for i, plates := range witness.AllPlates(t, together(t, files), 72) {
		p := pages[i]
		assumed := strings.Contains(codes(p), RGB)
		for name, plate := range plates {
			state := usage(p, name).State
			switch inked := slices.Max(plate.Pix) > 2; {
			case inked && state != Used && state != Outside:
				t.Errorf("%s: %s is on a plate, but %q", files[i], name, state)
			case !inked && state == Used && !(assumed && ink.IsProcess(name)):
				t.Errorf("%s: %s is used, but on no plate", files[i], name)
			}
		}
	}
}
