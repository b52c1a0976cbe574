package impose

import (
	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/contour"
	"quoin/impose/draw"
)

// cuttingLine is how wide a contour is drawn: it shows where the cut runs and
// cuts nothing. Common practice, no source.
const cuttingLine = 100 * geometry.Micrometre

// drawCut draws the contours of the cut over the artworks, on a layer that is a
// processing step of ISO 19593-1, in an ink that takes no station. Blank
// stations are cut too. Where an artwork draws the same cut itself, its own
// stands alone: a knife or a laser that finds two would cut twice.
func drawCut(p *Planned, seen *geometry.Layout) (items []draw.Item, said remarks) {
	if p.cutting == "" {
		return nil, said
	}
	own, said := ownCuts(p)
	var path draw.Path
	for i, s := range seen.Station {
		if art := p.Places[i]; art >= 0 && own[art] {
			continue
		}
		cut := contour.Path(contour.Placed(p.CutOn(s), s))
		for _, move := range paintings(seen, s) {
			path.Append(cut.Moved(move))
		}
	}
	if len(path.Verbs) == 0 {
		return nil, said
	}
	paint := draw.Solid(p.cutting)
	paint.Overprint = true
	return append(items, draw.Stroke{Layer: draw.Cutting, Path: path, Width: cuttingLine, Paint: paint}), said
}

// ownCuts reports for each artwork whether it draws the cut of its stations
// itself, in a technical ink that reaches the file.
func ownCuts(p *Planned) (own []bool, said remarks) {
	own = make([]bool, len(p.Pages))
	asked := make([]bool, len(p.Pages))
	for i, s := range p.Layout.Station {
		art := p.Places[i]
		if art < 0 || asked[art] {
			continue
		}
		asked[art] = true
		ink := ownCutInk(p.Inks, p.Pages[art])
		if ink == "" {
			continue
		}
		if line, err := p.Pages[art].DieLine(); err == nil && outline.Compare(p.CutOn(s), line.Outline).Within(sizeTolerance) {
			own[art] = true
			said.note(codeOwnCut, "%s: its own die line in %s is the cut, and isn't drawn a second time", pageName(p.Job.Artworks[art], p.Pages[art]), ink)
		}
	}
	return own, said
}
