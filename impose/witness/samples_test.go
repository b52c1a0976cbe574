package witness

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestSampleArtworkIsPressReady holds the demo's labels to what their README
// says, with tools that had no part in making them.
func TestSampleArtworkIsPressReady(t *testing.T) {
	if testing.Short() {
		t.Skip("separates and scans three labels")
	}
	for sort, number := range map[string]string{
		"juice": "9501101530003", // GS1 example prefix; 950110153000 has check digit 3
		"cider": "9501101530010",
		"perry": "9501101530027",
	} {
		t.Run(sort, func(t *testing.T) {
			path := filepath.Join("../../samples/artwork", "orchard-"+sort+".pdf")
			NoComplaint(t, path)

			q := QPDFJSON(t, path)
			page := []any{"Root", "Pages", "Kids", 0}
			for box, want := range map[string][4]float64{"TrimBox": {5, 5, 55, 80}, "BleedBox": {3, 3, 57, 82}, "MediaBox": {0, 0, 60, 85}} {
				got, _ := q.Get(append(page, box)...).([]any)
				for i, mm := range want {
					if len(got) != 4 || math.Abs(got[i].(float64)-mm*72/25.4) > 0.001 {
						t.Fatalf("%s is %v, want %v mm", box, got, want)
					}
				}
			}
			die := q.From(q.Get("Root", "OCProperties", "OCGs", 0), "GTS_Metadata", "GTS_ProcStepsType")
			if die != "/Cutting" {
				t.Errorf("the die line's layer is the step %v", die)
			}
			if got := q.Get("Root", "OutputIntents", 0, "S"); got != "/GTS_PDFX" {
				t.Errorf("output intent %v", got)
			}

			for line := range strings.Lines(string(run(t, "pdffonts", path).stdout)) {
				if strings.Contains(line, "CID Type") && !strings.Contains(line, "yes yes yes") {
					t.Errorf("a font isn't embedded: %s", line)
				}
			}

			plates := Plates(t, path, 1, 144)
			for _, ink := range []string{"Cyan", "Magenta", "Yellow", "Black", "Quince Gold", "Cutting"} {
				if plates[ink] == nil || slices.Max(plates[ink].Pix) < 100 {
					t.Errorf("hardly anything on the plate %s", ink)
				}
			}
			if len(plates) != 6 {
				t.Errorf("%d plates, want 6", len(plates))
			}

			if got := Scan(t, Ghostscript(t, path, 1, 400, NoAntialias)); !slices.Equal(got, []string{"EAN-13:" + number}) {
				t.Errorf("the scanner reads %q, want EAN-13:%s", got, number)
			}
		})
	}
}
