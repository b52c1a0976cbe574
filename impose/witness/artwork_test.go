package witness

import (
	"image"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestForeignArtworkIsWhatItsTableSays checks each label made by another
// program: listed, small, clean by qpdf, and separating into the inks named.
func TestForeignArtworkIsWhatItsTableSays(t *testing.T) {
	const dir = "../../testdata/artwork"
	process := []string{"Black", "Cyan", "Magenta", "Yellow"}
	spots := map[string][]string{
		"quince-ghostscript.pdf":     {"Cutting", "Hedge Green", "Quince Gold", "White"},
		"quince-offset-userunit.pdf": {"Cutting", "Hedge Green", "Quince Gold", "White"},
		"honey-ghostscript.pdf":      {"Quince Gold"},
		"plum-pdftex.pdf":            {"Plum Skin"},
		"balm-reportlab.pdf":         {"Cutting", "Quince Gold"},
		"balm-inherited.pdf":         {"Cutting", "Quince Gold"},
	}
	table, err := os.ReadFile(filepath.Join(dir, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob(filepath.Join(dir, "*.pdf"))
	if len(files) < 13 {
		t.Fatalf("%d files in %s", len(files), dir)
	}
	var separated []map[string]*image.Gray
	if !testing.Short() {
		if separated = PlatesTogether(t, 144, files...); len(separated) != len(files) {
			t.Fatalf("%d pages in %d files", len(separated), len(files))
		}
	}
	for i, file := range files {
		name := filepath.Base(file)
		t.Run(name, func(t *testing.T) {
			if !strings.Contains(string(table), "\n| "+name+" |") {
				t.Error("isn't in the table of README.md")
			}
			if info, err := os.Stat(file); err != nil || info.Size() > 150_000 {
				t.Errorf("larger than 150 kB, or %v", err)
			}
			QPDFCheck(t, file)
			if testing.Short() {
				return
			}
			want := slices.Sorted(slices.Values(append(slices.Clone(process), spots[name]...)))
			plates := separated[i]
			if got := slices.Sorted(maps.Keys(plates)); !slices.Equal(got, want) {
				t.Errorf("plates %v, want %v", got, want)
			}
			for _, spot := range spots[name] {
				if slices.Max(plates[spot].Pix) < 200 {
					t.Errorf("hardly anything on the plate %s", spot)
				}
			}
		})
	}
}
