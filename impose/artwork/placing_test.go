package artwork

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// TestPlacingFiles holds the lists of inks against the table of the pages
// that are hard to place, which renderers have proved: every ink that is
// found on a plate is listed, and no spot is listed that is on none.
func TestPlacingFiles(t *testing.T) {
	const dir = "../../testdata/placing"
	data, err := os.ReadFile(filepath.Join(dir, "probes.json"))
	if err != nil {
		t.Fatal(err)
	}
	var rows []struct {
		File   string
		Probes []struct{ Inks map[string]int }
	}
	if err := json.Unmarshal(data, &rows); err != nil {
		t.Fatal(err)
	}
	if len(rows) < 50 {
		t.Fatalf("only %d rows", len(rows))
	}
	refused := map[string]error{"encrypted-password.pdf": pdfobj.ErrPassword, "encrypted-no-assembly.pdf": pdfobj.ErrNotPermitted}
	for _, row := range rows {
		path := filepath.Join(dir, row.File)
		if want := refused[row.File]; want != nil {
			if _, err := Open(path, Options{}); !errors.Is(err, want) {
				t.Errorf("%s: %v, want %v", row.File, err, want)
			}
			continue
		}
		p := open(t, path, Options{})
		plates := map[string]bool{}
		for _, probe := range row.Probes {
			for name, amount := range probe.Inks {
				if amount > 0 {
					plates[name] = true
				}
			}
		}
		for name := range plates {
			// All is every ink, and none of its own.
			if usage(p, name).State != Used && row.File != "separation-all.pdf" {
				t.Errorf("%s: %s is on a plate, but %q", row.File, name, usage(p, name).State)
			}
		}
		for _, u := range p.Inks {
			if !ink.IsProcess(u.Name) && u.State == Used && !plates[u.Name] {
				t.Errorf("%s: %s is used, but on no plate", row.File, u.Name)
			}
		}
		for _, f := range p.Findings {
			if f.Code == SpaceUnknown || f.Code == ScanIncomplete {
				t.Errorf("%s: %s", row.File, f.Text)
			}
		}
	}
}

// What the files teach about more than inks.
func TestPlacingFilesAreUnderstood(t *testing.T) {
	for file, want := range map[string]string{
		"actions.pdf":                ActionsDropped,
		"annotation-prints.pdf":      AnnotationPrints,
		"annotation-state.pdf":       AnnotationPrints,
		"black-in-rgb-group.pdf":     RGBGroup,
		"boxes-beyond-media.pdf":     BoxOutside,
		"default-cmyk.pdf":           ForeignCMYK,
		"encrypted-open.pdf":         Encrypted,
		"layer-off.pdf":              LayerHidden,
		"layer-base-off.pdf":         LayerHidden,
		"separation-all.pdf":         RegistrationInside,
		"image-jpx.pdf":              LowResolution,
		"default-rgb.pdf":            RGB,
		"shading-mesh-triangles.pdf": RGBWithoutSpace,
	} {
		if p := open(t, filepath.Join("../../testdata/placing", file), Options{}); !strings.Contains(codes(p), want) {
			t.Errorf("%s: %s, want %s", file, codes(p), want)
		}
	}
	for file, but := range map[string]string{
		"annotation-hidden.pdf":      AnnotationPrints,
		"annotation-screen-only.pdf": AnnotationPrints,
		"black-in-cmyk-group.pdf":    RGBGroup,
		"default-rgb.pdf":            RGBWithoutSpace,
		"layer-on.pdf":               LayerHidden,
		"userunit-2.pdf":             UserUnitInvalid,
	} {
		if p := open(t, filepath.Join("../../testdata/placing", file), Options{}); strings.Contains(codes(p), but) {
			t.Errorf("%s: %s", file, codes(p))
		}
	}
	p := open(t, "../../testdata/placing/layer-step.pdf", Options{})
	if len(p.Layers) != 1 || p.Layers[0].Step != (Step{"Structural", "Cutting"}) || usage(p, "Cutting").Kind != ink.Technical {
		t.Errorf("%+v, %+v", p.Layers, usage(p, "Cutting"))
	}
}

// TV-P5: the appearance's matrix as computed by the rule of 12.5.5.
func TestAppearanceMatrix(t *testing.T) {
	p := open(t, "../../testdata/placing/annotation-prints.pdf", Options{})
	if len(p.Appearances) != 1 || p.Appearances[0].Matrix != (Matrix{1, 0, 0, 1, 250, 300}) || p.Appearances[0].Form.IsZero() {
		t.Errorf("%+v", p.Appearances)
	}
}
