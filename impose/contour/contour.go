// Package contour reads and writes the outlines of labels and dies as DXF and
// SVG, and turns them into paths to draw.
//
// Files are read leniently about layout and strictly about shape: whatever is
// no closed contour is either skipped and counted, where it can't be part of a
// cut (text, dimensions), or refused with its line in the file. Written files
// are in millimetres and the same bytes for the same outlines.
package contour

import (
	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/say"
)

// Options say how a file is read.
type Options struct {
	// Unit is the length of one unit of the drawing; 0 takes what the file says.
	Unit geometry.Length
	// Join is how far apart two ends may lie that belong together; 0 means
	// DefaultJoin.
	Join geometry.Length
	// Only reads one layer of a DXF file, or one element of an SVG file by its id
	// or by the name that Inkscape gives its layer, whether it is shown or not;
	// empty reads all that is shown.
	Only string
}

// DefaultJoin joins ends that drawing programs left apart when they rounded
// coordinates to a hundredth of a millimetre; a fifth of what a die may be off
// by (0.05 mm, common practice, no source).
const DefaultJoin = 10 * geometry.Micrometre

// MostGap is the widest gap in a contour that is closed by a line, and told of,
// where Options.Join says nothing: twice what a die may be off by (common
// practice, no source). A wider one is an open contour.
const MostGap = 100 * geometry.Micrometre

// Gap is one that was closed.
type Gap struct {
	Width geometry.Length
	At    string // as the drawing counts
}

// Drawing is what a file holds.
type Drawing struct {
	// Outline is all contours together, the leading left corner of its bounds at
	// the origin. Outline.Parts gives the pieces of a die of many stations.
	Outline outline.Outline
	Layers  []string  // those that contours were read from, in the order of the file; SVG: of Inkscape
	Gaps    []Gap     // that were closed
	Skipped []Skipped // what can't be part of a cut, in the order of the file
}

// Skipped counts one kind of thing that was left out.
type Skipped struct {
	thing
	Count int
}

// thing is what is left out: by its name in the file, which has no plural, or by a
// noun with what is said of it before and behind.
type thing struct{ before, noun, behind string }

// byName is a thing that the file's format has a name for.
func byName(name string) thing { return thing{before: name} }

// part is a part of the drawing.
func part(before, behind string) thing { return thing{before, "part", behind} }

func (d *Drawing) skip(what thing) {
	for i := range d.Skipped {
		if d.Skipped[i].thing == what {
			d.Skipped[i].Count++
			return
		}
	}
	d.Skipped = append(d.Skipped, Skipped{what, 1})
}

// String says how many were left out of what.
func (s Skipped) String() string {
	text := say.Number(s.Count) + " " + s.before
	if s.noun != "" {
		text += say.Noun(s.Count, s.noun)
	}
	return text + s.behind
}

// refuse says what is wrong in a line of the file, from 1, or in the whole file
// with 0, and the way out.
func refuse(line int, way, text string, args ...any) *say.Refusal {
	if line > 0 {
		text, args = "line %d: "+text, append([]any{line}, args...)
	}
	return say.Refuse(say.Failed, way, text, args...)
}

// Limits of a file. The largest die drawings have some ten thousand segments;
// the rest keeps a broken or hostile file from taking all memory.
const (
	mostBytes    = 64 << 20
	mostSegments = 200_000
	mostContours = 20_000
)
