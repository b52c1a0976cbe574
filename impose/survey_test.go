package impose

import (
	"errors"
	"os"
	"slices"
	"testing"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/wholefile"
)

func TestLookSaysWhatAnArtworkBrings(t *testing.T) {
	j := job.New()
	j.Artworks = []job.Artwork{{File: "../samples/artwork/orchard-juice.pdf", Page: 1}}
	j.Inks.Technical = []string{"Cutting"}
	s, err := SurveyArtworks(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"Cyan", "Magenta", "Yellow", "Black", "Quince Gold"}
	if s.Label != (geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre}) || !slices.Equal(s.Inks, want) {
		t.Errorf("label %s, inks %q", s.Label, s.Inks)
	}
	if sum, err := wholefile.SHA256(j.Artworks[0].File); err != nil || s.SHA256 != sum {
		t.Errorf("sha256 %s, want %s (%v)", s.SHA256, sum, err)
	}
}

func TestLookRefusesWhatOpenRefuses(t *testing.T) {
	j := job.New()
	j.Artworks = []job.Artwork{{File: "no.pdf", Page: 1}}
	if _, err := SurveyArtworks(t.Context(), j); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a missing file gives %v", err)
	}
	j.Artworks[0].File = "../samples/artwork/orchard-juice.pdf"
	j.Label = geometry.Size{Across: 60 * geometry.Millimetre, Around: 75 * geometry.Millimetre}
	if _, err := SurveyArtworks(t.Context(), j); err == nil {
		t.Error("another label size is taken")
	} else if _, ok := errors.AsType[*artwork.Error](err); !ok {
		t.Errorf("another label size gives %T", err)
	}
}

func TestPrintingInksFollowTheRules(t *testing.T) {
	rules := job.InkRules{
		Technical: []string{"Cutting"}, Silence: []string{"Notes"},
		Aliases: []job.Alias{{From: "Gold C", To: "Gold"}},
	}
	got := PrintingInks(rules, []string{"White", "Gold C", "Black", "Cutting", "White", "Cyan", "Notes"})
	if want := []string{"Cyan", "Black", "Gold", "White", "White"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
