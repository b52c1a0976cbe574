package sheet

import (
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
)

// TestMarksAreThoseDrawn: of labels without gaps no slit, centre tick and lane
// numbers find room; the sheet must not list them, and says that they are missing.
func TestMarksAreThoseDrawn(t *testing.T) {
	for _, c := range []struct {
		gap       geometry.Length
		has, not  []string
		forcedOff bool
	}{
		{0, []string{"NOT on the frame, which has no room for them: slit ticks, the centre tick and lane numbers"}, []string{"Slit ticks in", "Tick on the centre"}, false},
		{2 * geometry.Millimetre, []string{"Slit ticks in", "Tick on the centre", "NOT on the frame, which has no room for them: lane numbers"}, nil, false},
		{geometry.Inch / 8, []string{"Slit ticks in", "Tick on the centre", "A number at the start of each lane"}, []string{"NOT on the frame"}, false},
		{9 * geometry.Millimetre, []string{"Slit ticks in", "Tick on the centre", "A number at the start of each lane"}, []string{"NOT on the frame"}, false},
		{0, nil, []string{"Slit ticks", "slit ticks", "centre"}, true},
	} {
		j := job.New()
		j.WebWidth = 200 * geometry.Millimetre
		j.Repeat.Longest = 400 * geometry.Millimetre
		j.Gap = geometry.Size{Across: c.gap, Around: c.gap}
		j.Artworks = []job.Artwork{{File: "../../testdata/placing/shading-axial.pdf", Page: 1, Quantity: 1000}}
		if c.forcedOff {
			j.Marks.Slit, j.Marks.Centre = false, false
		}
		im, err := impose.Open(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Join(marks(im), "\n")
		im.Close()
		for _, want := range c.has {
			if !strings.Contains(text, want) {
				t.Errorf("gap %s: the sheet doesn't say %q:\n%s", c.gap, want, text)
			}
		}
		for _, bad := range c.not {
			if strings.Contains(text, bad) {
				t.Errorf("gap %s: the sheet says %q:\n%s", c.gap, bad, text)
			}
		}
	}
}
