package artwork

import (
	"fmt"

	"quoin/impose/ink"
	"quoin/impose/say"
)

// CoverageReport says how much ink a page takes, as its plates show: package
// plate fills it in. Percentages are of area, 100 being solid.
type CoverageReport struct {
	Inks []InkCoverage `json:"inks"`
	// TotalMax is the most that all inks but technical ones, white and varnish
	// add up to within the bleed, and the place of it from the trim's leading
	// left corner.
	TotalMax   float64       `json:"total_max_percent"`
	TotalMaxAt [2]float64    `json:"total_max_at_mm"` // across, around
	TotalLimit float64       `json:"total_limit_percent,omitempty"`
	DPI        float64       `json:"dpi"` // at which the plates were drawn
	Approx     []Approximate `json:"approximate"`
	Findings   []string      `json:"findings"`
	// Found are those findings with their codes; a page's report lists them with
	// its own.
	Found []Finding `json:"-"`
}

// Find adds a finding of the plates.
func (c *CoverageReport) Find(code, format string, args ...any) {
	var one findings
	one.page(code, format, args...)
	c.Found = append(c.Found, one.list...)
	c.Findings = append(c.Findings, one.list[0].Text)
}

// InkCoverage is one ink's share of the label.
type InkCoverage struct {
	Name    string   `json:"name"`
	Kind    ink.Kind `json:"kind"`
	Trim    float64  `json:"percent_trim"`
	Bleed   float64  `json:"percent_bleed"` // of the trim with its bleed
	TrimMM2 float64  `json:"solid_mm2"`     // of the trim: as much area in solid ink
}

// Approximate is something of which a plate may differ from the press's.
type Approximate struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// rows is the coverage for people.
func (c *CoverageReport) rows() (table [][]string) {
	table = append(table, []string{"ink", "of the trim", "with bleed", "solid"})
	for _, i := range c.Inks {
		table = append(table, []string{i.Name, percent(i.Trim), percent(i.Bleed), say.Digits(i.TrimMM2) + " mm²"})
	}
	return table
}

func (c *CoverageReport) text(row func(name, text string)) {
	limit := ""
	if c.TotalLimit > 0 {
		limit = fmt.Sprintf("; the limit is %s", percent(c.TotalLimit))
	}
	row("Total ink", fmt.Sprintf("at most %s, at %s mm across, %s mm around from the trim's leading left corner%s",
		percent(c.TotalMax), say.Digits(c.TotalMaxAt[0]), say.Digits(c.TotalMaxAt[1]), limit))
	for _, a := range c.Approx {
		row("About", a.What+": "+a.Why)
	}
}

func percent(v float64) string { return say.Digits(v) + " %" }
