package build

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/plan"
	"quoin/impose/witness"
)

// TestDieLinesDecideWhoSharesAFrame: labels of one size whose artworks are cut
// otherwise don't share a frame, and each run is cut as its artworks draw.
func TestDieLinesDecideWhoSharesAFrame(t *testing.T) {
	shield := "0 50 m 50 50 l 50 20 l 25 0 l 0 20 l h"
	labels := map[string]witness.Label{
		"round":   {W: 50, H: 50, Line: witness.Rounded(0, 0, 50, 50, 25, 25)},
		"disc":    {W: 50, H: 50, Line: witness.Rounded(0, 0, 50, 50, 25, 25)},
		"soft":    {W: 50, H: 50, Line: witness.Rounded(0, 0, 50, 50, 5, 5)},
		"narrow":  {W: 40, H: 50, Line: witness.Rounded(0, 0, 40, 50, 5, 5)},
		"shield":  {W: 50, H: 50, Line: shield},
		"shield2": {W: 50, H: 50, Line: shield},
	}
	for _, c := range []struct {
		widths bool
		want   []string
	}{
		{false, []string{"disc round", "narrow", "shield shield2", "soft"}},
		{true, []string{"disc round", "narrow soft", "shield shield2"}},
	} {
		t.Run(fmt.Sprintf("widths mixed %t", c.widths), func(t *testing.T) {
			csv := "order,quantity,artwork\n"
			for i, name := range []string{"round", "disc", "soft", "narrow", "shield", "shield2"} {
				csv += fmt.Sprintf("%d,900,%s.pdf\n", i, name)
			}
			dir, all, r := nighttest.Desk(t, csv)
			for name, l := range labels {
				data, err := os.ReadFile(l.Write(t))
				if err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(filepath.Join(dir, name+".pdf"), data, 0o666); err != nil {
					t.Fatal(err)
				}
			}
			r.House.Label, r.House.Cutting, r.House.Turns, r.Widths = geometry.Size{}, true, []geometry.Turn{geometry.Turn0}, c.widths
			f := nighttest.Folder(t, filepath.Join(dir, "night"))
			p, err := plan.Make(t.Context(), all, r, f)
			if err != nil {
				t.Fatal(err)
			}
			if err := Runs(t.Context(), f, p, r, nil); err != nil {
				t.Fatal(err)
			}
			if len(p.Unplanned) > 0 {
				t.Fatalf("left out: %v", p.Unplanned)
			}
			var got []string
			for _, run := range p.Runs {
				var names []string
				for _, o := range run.Orders {
					names = append(names, strings.TrimSuffix(o.Artwork, ".pdf"))
				}
				slices.Sort(names)
				if text := strings.Join(names, " "); !slices.Contains(got, text) {
					got = append(got, text)
				}
			}
			slices.Sort(got)
			if !slices.Equal(got, c.want) {
				t.Errorf("runs of %q, want %q", got, c.want)
			}
		})
	}
}
