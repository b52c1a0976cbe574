package summary

import (
	"fmt"

	"quoin/impose/say"
)

// Again is how an artwork of a job that is printed again differs from the one
// that it takes the place of.
type Again struct {
	Artwork   int      `json:"artwork"` // first is 1
	Was       string   `json:"was"`     // the old file, as the job names it
	WasSHA256 string   `json:"was_sha256,omitempty"`
	SameFile  bool     `json:"same_file"`
	Unknown   string   `json:"unknown,omitempty"` // why the old one couldn't be compared
	Changes   []Change `json:"changes"`
	// Percent of the trim's area that looks otherwise, and where most of that lies:
	// left, top, right and bottom from the upright trim's leading left corner.
	Percent *float64    `json:"differs_percent,omitempty"`
	PlaceMM *[4]float64 `json:"place_mm,omitempty"`
}

// Change is one thing that an artwork's report says otherwise.
type Change struct {
	Code string `json:"code"` // trim, bleed, pages, ink, die-line, font, image, transparency, overprint, output-intent
	Was  string `json:"was"`
	Now  string `json:"now"`
}

// rows say it for a person.
func (a Again) rows(row func(name, text string, args ...any)) {
	about := fmt.Sprintf("product %d, was %s: ", a.Artwork, a.Was)
	switch {
	case a.Unknown != "":
		row("Differs", "%snot known: %s", about, a.Unknown)
	case a.SameFile:
		row("Differs", "%sit is the same file", about)
	case a.Percent != nil && *a.Percent == 0 && len(a.Changes) == 0:
		row("Differs", "%sin nothing that is seen or counted", about)
	case a.Percent != nil && a.PlaceMM != nil:
		p := *a.PlaceMM
		row("Differs", "%sin %s %% of its area, most of it %s to %s mm from the left and %s to %s mm from the top", about, percent(*a.Percent),
			say.Decimals(p[0], 1), say.Decimals(p[2], 1), say.Decimals(p[1], 1), say.Decimals(p[3], 1))
	case a.Percent != nil:
		row("Differs", "%sin %s %% of its area", about, percent(*a.Percent))
	}
	for _, c := range a.Changes {
		row("", "%s: %s, now %s", c.Code, c.Was, c.Now)
	}
}

// percent keeps small differences from looking like none.
func percent(p float64) string {
	if p > 0 && p < 0.01 {
		return "less than 0.01"
	}
	if p < 1 {
		return say.Decimals(p, 2)
	}
	return say.Decimals(p, 1)
}
