package artwork

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/contour"
	"quoin/impose/say"
)

// DieLine is where the artwork itself says that the label is cut.
type DieLine struct {
	// Outline is the cut of the upright label with the trim's leading left corner
	// at the origin. The outermost contour is the label's edge; contours inside it
	// are holes, or cuts of another step that the file doesn't tell apart.
	Outline outline.Outline
	Step    Step     // the processing step; empty where an ink's name says it
	Layers  []string // those of the step
	Inks    []string // that it is drawn in
	Inner   int      // contours inside the edge
	Apart   int      // contours beside the largest: several labels, or none of the cut
	known   bool     // a processing step or an ink's name says it
	Open    int      // lines that close to no contour; they are left out
}

// ErrNoDieLine says that nothing in the artwork is drawn as a cut.
var ErrNoDieLine = errors.New("no die line is drawn")

// DieLine returns the artwork's own die line: what is painted where it prints in
// a layer of the processing step Structural/Cutting, or else PartialCutting
// (ISO 19593-1), or else in a technical ink that is named for cutting, or that
// the job calls technical. An artwork without one fails with ErrNoDieLine; one
// whose lines make no contour with a hint.
func (p *Page) DieLine() (*DieLine, error) {
	if p.dieLine == nil && p.dieFault == nil {
		return nil, ErrNoDieLine
	}
	return p.dieLine, p.dieFault
}

// finishDieLine makes contours of the paths of the surest rank.
func finishDieLine(s *scan) {
	for rank := stepCut; rank <= technical; rank++ {
		if len(s.cuts[rank].contours) == 0 {
			continue
		}
		line := dieLineOf(s, rank)
		if err := closeUp(s, line, s.cuts[rank].contours); err != nil {
			s.page.dieFault = &say.Refusal{Text: "the die line (" + line.By() + ")", Err: err,
				Way: "the cut is drawn as closed lines, alone on a layer of the processing step Structural/Cutting or in a spot named Cutting"}
			s.found.page(DieLineUnclear, "%v", s.page.dieFault)
			return
		}
		s.page.dieLine = line
		checkDieLine(s, line)
		return
	}
}

// dieLineOf says where the paths of a rank come from.
func dieLineOf(s *scan, rank cutRank) *DieLine {
	line := &DieLine{Inks: s.cuts[rank].inks, known: rank != technical}
	switch rank {
	case stepCut:
		line.Step = Step{"Structural", "Cutting"}
	case stepKiss:
		line.Step = Step{"Structural", "PartialCutting"}
	default:
		return line
	}
	for _, l := range s.page.Layers {
		if l.Step == line.Step && l.On {
			line.Layers = append(line.Layers, l.Name)
		}
	}
	return line
}

func closeUp(s *scan, line *DieLine, pieces []outline.Contour) error {
	if s.cutsLeft < 0 {
		return fmt.Errorf("it has more than %d segments", maxCutSegments)
	}
	whole, open, err := contour.Join(pieces)
	if err != nil {
		return err
	}
	if whole, err = once(whole); err != nil {
		return err
	}
	if len(whole) == 0 {
		return fmt.Errorf("%s close to no contour", say.Count(len(open), "line"))
	}
	line.Open = len(open)
	if line.Outline, err = outline.New(whole...); err != nil {
		return err
	}
	outer := len(line.Outline.Parts())
	line.Inner, line.Apart = len(whole)-outer, outer-1
	return nil
}

// once leaves out contours that lie on another: a line that is stroked and
// filled, or drawn again by the same tool, is one cut. They are the same when
// box and area agree within the joining distance.
func once(list []outline.Contour) (kept []outline.Contour, err error) {
	var outlines []outline.Outline
next:
	for _, c := range list {
		o, err := outline.New(c)
		if err != nil {
			return nil, err
		}
		a := o.Bounds()
		for _, other := range outlines {
			b := other.Bounds()
			off := max(gap(a.Min, b.Min), gap(a.Max, b.Max))
			if off <= contour.DefaultJoin && math.Abs(o.Area()-other.Area()) <= contour.DefaultJoin.MM()*o.Perimeter() {
				continue next
			}
		}
		outlines, kept = append(outlines, o), append(kept, c)
	}
	return kept, nil
}

// gap returns how far two positions lie apart, across or around.
func gap(a, b geometry.Position) geometry.Length {
	x, y := a.Across-b.Across, a.Around-b.Around
	return max(x, -x, y, -y)
}

// Known reports whether a processing step or an ink's name says that the line is
// a cut, and not only a job that calls its ink technical.
func (d *DieLine) Known() bool { return d.known }

// By names what says that it is the die line: the layer, or else the inks.
func (d *DieLine) By() string {
	text := "ink " + strings.Join(d.Inks, ", ")
	if d.Step.IsZero() {
		return text
	}
	if len(d.Layers) > 0 {
		text = fmt.Sprintf("layer %s, %s", strings.Join(d.Layers, ", "), text)
	}
	return "processing step " + d.Step.String() + ", " + text
}

// Size returns the box of the die line to the micrometre, as Page.Size does.
func (d *DieLine) Size() geometry.Size {
	s := d.Outline.Bounds().Size()
	return geometry.Size{Across: whole(s.Across), Around: whole(s.Around)}
}

func whole(l geometry.Length) geometry.Length {
	return geometry.Length(math.Round(float64(l)/float64(geometry.Micrometre))) * geometry.Micrometre
}

// checkDieLine compares the die line with the trim: common practice, no source.
// A page without a TrimBox was told of already.
func checkDieLine(s *scan, d *DieLine) {
	p := s.page
	if !p.Boxes.Given.Trim || d.OffTrim(p.Size()) <= geometry.DieTolerance {
		return
	}
	if a, b := d.Size(), p.Size(); !within(a.Across, b.Across) || !within(a.Around, b.Around) {
		s.found.page(DieLineDiffers, "the die line is %s, the trim %s", a, b)
		return
	}
	min := d.Outline.Bounds().Min
	s.found.page(DieLineDiffers, "the die line has the trim's size, but lies %s across and %s around from it", whole(min.Across), whole(min.Around))
}

func within(a, b geometry.Length) bool { return max(a-b, b-a) <= geometry.DieTolerance }

// OffTrim returns how far the worst side of the die line's box lies from that of
// a trim of the size.
func (d *DieLine) OffTrim(trim geometry.Size) geometry.Length {
	b := d.Outline.Bounds()
	return max(gap(b.Min, geometry.Position{}), gap(b.Max, geometry.Position(trim)))
}
