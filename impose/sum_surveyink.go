package impose

import (
	"context"
	"fmt"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/summary"
)

// SurveyInk measures what one label takes of each printing ink, with its bleed all
// around, before anything is laid out: the mean of the job's artworks, by its rules
// for inks. A shaped label is measured as its box. M2 is that of one label, and so
// are grams and cost, where the press file says what a solid takes and what a
// kilogram costs. The errors are those of SurveyArtworks and of measure.
func SurveyInk(ctx context.Context, j *job.Job, label geometry.Size, measure InkMeter) ([]summary.InkUse, error) {
	files := newArtworkFiles(ctx, j)
	defer files.close()
	pages, _, err := readPages(j, files)
	if err != nil {
		return nil, err
	}
	table, _, err := tableInks(j, pages)
	if err != nil {
		return nil, err
	}
	sums := map[string]float64{}
	for _, p := range pages {
		size := p.Size()
		from := geometry.Position{Across: (size.Across-label.Across)/2 - j.Bleed, Around: (size.Around-label.Around)/2 - j.Bleed}
		to := geometry.Position{Across: from.Across + label.Across + 2*j.Bleed, Around: from.Around + label.Around + 2*j.Bleed}
		box := [][]geometry.Position{{from, {Across: to.Across, Around: from.Around}, to, {Across: from.Across, Around: to.Around}}}
		inks, _, err := measure(ctx, p, box)
		if err != nil {
			return nil, fmt.Errorf("%s: measuring its ink: %w", p.Name(), err)
		}
		addPrinting(sums, table, inks, float64(len(pages)))
	}
	return usesOf(table, j.Press, func(name string) summary.InkUse {
		return summary.InkUse{Label: sums[name], M2: sums[name] / 1e6}
	}), nil
}
