package impose

import (
	"slices"

	"quoin/geometry"
	"quoin/impose/contour"
	"quoin/impose/draw"
	"quoin/impose/mark"
)

// drawDieLines draws the die lines that the artworks bring in inks that don't
// print. Those are the colorant None in the file, which no viewer draws; here
// they can be seen, on a layer of their own that is off and so never prints.
func drawDieLines(p *Planned, seen *geometry.Layout) (items []draw.Item) {
	dark := mark.Darkest(p.PrintingInks()).Name
	if dark == "" {
		return nil
	}
	paint := draw.Solid(dark)
	paint.Overprint = true
	for art, page := range p.Pages {
		line, err := page.DieLine()
		if err != nil || !slices.ContainsFunc(line.Inks, func(name string) bool { return silent(p.Sources, name) }) {
			continue // none that is clear, of which a finding tells, or one that prints
		}
		var path draw.Path
		for i, s := range seen.Station {
			if p.Places[i] != art {
				continue
			}
			cut := contour.Path(contour.Placed(line.Outline, s))
			for _, move := range paintings(seen, s) {
				path.Append(cut.Moved(move))
			}
		}
		if len(path.Points) > 0 {
			items = append(items, draw.Stroke{Layer: draw.DieLine, Path: path, Width: cuttingLine, Paint: paint})
		}
	}
	return items
}

// silent reports whether an ink of an artwork prints nowhere.
func silent(in *Sources, name string) bool {
	e, ok := in.Inks.Find(in.names.rules.Name(name))
	return ok && !e.TakesStation()
}
