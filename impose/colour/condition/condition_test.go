package condition_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/artwork"
	"quoin/impose/colour"
	"quoin/impose/colour/cielab"
	"quoin/impose/colour/condition"
	"quoin/impose/colour/cxf"
	"quoin/impose/witness"
)

func spectrum(v float64) cielab.Spectrum {
	s := cielab.Spectrum{First: 400, Step: 10}
	for range 31 {
		s.Values = append(s.Values, v)
	}
	return s
}

// label writes an artwork whose output intent has a profile and the spectra of
// spots: of Plum, of an ink that no file knows how to spell, and damaged ones.
func label(t *testing.T, profile string) string {
	t.Helper()
	icc, err := os.ReadFile(profile)
	if err != nil {
		t.Fatal(err)
	}
	var plum bytes.Buffer
	if err := cxf.Write(&plum, "test", []cxf.Colour{{Name: "another name", Percent: 50, Spectrum: spectrum(0.4)}, {Name: "another name", Percent: 100, Spectrum: spectrum(0.2)}}); err != nil {
		t.Fatal(err)
	}
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R /OutputIntents [<< /S /GTS_PDFX /OutputConditionIdentifier (Hollow press) /DestOutputProfile 5 0 R /SpectralData << /Plum 6 0 R /Gr#fcn 6 0 R /Broken 7 0 R >> >>] >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << >> /MediaBox [0 0 100 100] /TrimBox [0 0 100 100] >>",
		witness.Stream("", "0 1 0 0 k 0 0 100 100 re f"),
		witness.Stream("/N 4", string(icc)),
		witness.Stream("/Type /Metadata", plum.String()),
		witness.Stream("", plum.String()[:200]),
	)
}

const demo = "../../../samples/artwork/demo-coated.icc"

// The output intent's profile and spectra are found; what is damaged is a note
// and no error.
func TestWhatAnArtworkCarries(t *testing.T) {
	file, err := artwork.Open(label(t, demo), artwork.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	page, err := file.Page(1)
	if err != nil {
		t.Fatal(err)
	}
	f := &condition.Found{}
	f.Add(page)
	if f.Profile == nil || f.Profile.Space != "CMYK" || f.Name != "Hollow press" {
		t.Errorf("%+v", f)
	}
	solids := f.Solids()
	if len(solids) != 2 || solids["Plum"].Values[0] != 0.2 {
		t.Errorf("%v", solids)
	}
	if len(f.Notes) != 1 || !strings.Contains(f.Notes[0], `"Broken" can't be used`) {
		t.Errorf("%q", f.Notes)
	}
	// They are aims, and stand in the way of no other spot.
	run := runOf(t, "x.pdf")
	aim, ok := (&colour.Aims{Spectra: solids}).Of(run, &run.Targets[0])
	// A reflectance of 0.2 at all wavelengths is L* 51.84 (116 cbrt(0.2) - 16).
	if !ok || aim.Lab.L < 51.8 || aim.Lab.L > 51.9 || aim.Lab.Chroma() > 0.01 {
		t.Errorf("%+v, %v", aim, ok)
	}
}

func runOf(t *testing.T, path string) *colour.PressRun {
	t.Helper()
	data, err := json.Marshal(map[string]any{
		"schema": "quoin/summary/1", "layout": map[string]any{"repeat_mm": 100},
		"inks":     []map[string]string{{"name": "Plum", "kind": "spot"}},
		"artworks": []map[string]any{{"artwork": 1, "file": "x.pdf", "path": path, "page": 1}},
		"targets":  []map[string]any{{"number": 1, "what": "solid", "inks": []map[string]any{{"ink": "Plum", "tint_percent": 100}}, "box_mm": []float64{0, 0, 5, 5}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	r, err := colour.ParseRun("run.json", data)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A run's artworks are found from here or from beside its summary; one that is
// gone is a note.
func TestArtworksOfARun(t *testing.T) {
	path := label(t, demo)
	r := runOf(t, filepath.Base(path))
	r.Path = filepath.Join(filepath.Dir(path), "run.json")
	if f := condition.OfRun(r); f.Profile == nil {
		t.Errorf("%q", f.Notes)
	}
	if f := condition.OfRun(runOf(t, "gone.pdf")); f.Profile != nil || len(f.Notes) != 1 || !strings.Contains(f.Notes[0], "x.pdf") {
		t.Errorf("%q", f.Notes)
	}
	f := &condition.Found{}
	if err := f.Read(path); err == nil || !strings.Contains(err.Error(), "it is no ICC profile") {
		t.Errorf("%v", err)
	}
	if err := f.Read(demo); err != nil || f.Name == "" {
		t.Errorf("%q, %v", f.Name, err)
	}
}
