package contour

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// piece is a stretch of line as the file has it: open, or closed already.
type piece struct {
	outline.Contour
	line   int // in the file
	closed bool
}

func (p *piece) end() geometry.Position { return p.Segments[len(p.Segments)-1].To }

// reverse turns the piece round.
func (p *piece) reverse() { p.Contour = p.Contour.Reversed() }

// axis tells which way the drawing's second coordinate grows; messages name
// places as the drawing does.
type axis int

const (
	downwards axis = 1 // SVG, and our own positions
	upwards   axis = -1
)

func (a axis) show(p geometry.Position) string {
	return fmt.Sprintf("%s, %s", strings.TrimSuffix(p.Across.String(), " mm"), geometry.Length(a)*p.Around)
}

// joiner makes closed contours of pieces.
type joiner struct {
	tolerance geometry.Length
	pieces    []piece
	ends      map[cell][]end // open ends by place
	used      []bool
	axis      axis
	keepOpen  bool // chains that don't close go to open instead of failing
	open      []piece
	gaps      *[]Gap // not nil: ends within the tolerance are bridged by a line, and told of
}

// closed is a contour with the line of the file where it begins.
type closed struct {
	outline.Contour
	line int
}

// end is one end of an open piece.
type end struct {
	piece int
	last  bool // the end, not the start
}

// cell is a square of the tolerance's size; ends that may meet lie in
// neighbouring ones.
type cell struct{ x, y geometry.Length }

func (j *joiner) cell(p geometry.Position) cell {
	return cell{geometry.FloorDiv(p.Across, j.tolerance), geometry.FloorDiv(p.Around, j.tolerance)}
}

func newJoiner(tolerance geometry.Length, a axis) *joiner {
	return &joiner{tolerance: tolerance, ends: map[cell][]end{}, axis: a}
}

// join closes all pieces, or says which can't be and where.
func (j *joiner) join(pieces []piece, d *Drawing) ([]closed, error) {
	tolerance := j.tolerance
	var out []closed
	seen := map[string]bool{}
	for _, p := range pieces {
		if len(p.Segments) == 0 {
			continue
		}
		if gap := distance(p.Start, p.end()); !p.closed && j.gaps != nil && gap <= tolerance && length(p.Contour) > 4*tolerance {
			j.bridge(&p.Contour, p.Start)
			p.closed = true
		}
		if !p.closed && distance(p.Start, p.end()) <= tolerance && length(p.Contour) > 4*tolerance {
			p.Segments[len(p.Segments)-1].To = p.Start
			p.closed = true
		}
		if p.closed {
			key := fmt.Sprint(p.Contour)
			if seen[key] {
				d.skip(thing{noun: "contour", behind: " drawn twice"})
				continue
			}
			seen[key] = true
			out = append(out, closed{p.Contour, p.line})
			continue
		}
		if length(p.Contour) <= tolerance {
			d.skip(thing{noun: "line", behind: " shorter than the joining distance"})
			continue
		}
		j.pieces = append(j.pieces, p)
	}
	if err := j.index(d); err != nil {
		return nil, err
	}
	for i := range j.pieces {
		if j.used[i] {
			continue
		}
		c, err := j.walk(i)
		if err != nil {
			return nil, err
		}
		if len(c.Segments) > 0 {
			out = append(out, closed{c, j.pieces[i].line})
		}
	}
	if len(out) > mostContours {
		return nil, refuse(0, "draw one frame of the die only", "the drawing has %d contours, and %d are possible", len(out), mostContours)
	}
	return out, nil
}

// index files all open ends, leaving out lines that were drawn twice, and
// refuses places where three ends meet.
func (j *joiner) index(d *Drawing) error {
	j.used = make([]bool, len(j.pieces))
	for i := range j.pieces {
		p := &j.pieces[i]
		if j.repeated(p) {
			d.skip(thing{noun: "line", behind: " drawn twice"})
			j.used[i] = true
			continue
		}
		for _, last := range [...]bool{false, true} {
			c := j.cell(p.at(last))
			j.ends[c] = append(j.ends[c], end{i, last})
		}
	}
	for i := range j.pieces {
		if j.used[i] {
			continue
		}
		for _, last := range [...]bool{false, true} {
			at := j.pieces[i].at(last)
			if others := j.near(at, end{i, last}); len(others) > 1 {
				return refuse(j.pieces[i].line, "a contour is one closed line: remove what does not belong to the cut, or put it on another layer", "%d lines end at %s, so the cut forks", len(others)+1, j.axis.show(at))
			}
		}
	}
	return nil
}

func (p *piece) at(last bool) geometry.Position {
	if last {
		return p.end()
	}
	return p.Start
}

// repeated reports whether a filed piece has the same course.
func (j *joiner) repeated(p *piece) bool {
	for _, e := range j.near(p.Start, end{-1, false}) {
		q := j.pieces[e.piece]
		if e.last {
			q.reverse()
		}
		if len(q.Segments) != len(p.Segments) {
			continue
		}
		same := true
		for k, s := range p.Segments {
			t := q.Segments[k]
			same = same && distance(s.To, t.To) <= j.tolerance && math.Abs(s.Bulge-t.Bulge) < 1e-3 && s.Curve == t.Curve &&
				distance(s.C1, t.C1) <= j.tolerance && distance(s.C2, t.C2) <= j.tolerance
		}
		if same {
			return true
		}
	}
	return false
}

// near returns the unused ends within the tolerance of a place, but for one.
func (j *joiner) near(at geometry.Position, not end) []end {
	var out []end
	c := j.cell(at)
	for x := c.x - 1; x <= c.x+1; x++ {
		for y := c.y - 1; y <= c.y+1; y++ {
			for _, e := range j.ends[cell{x, y}] {
				if e != not && !j.used[e.piece] && distance(j.pieces[e.piece].at(e.last), at) <= j.tolerance {
					out = append(out, e)
				}
			}
		}
	}
	return out
}

// walk goes from a piece to the next until it is back. A chain that is kept
// open gives an empty contour.
func (j *joiner) walk(first int) (outline.Contour, error) {
	j.used[first] = true
	chain := j.pieces[first]
	chain.Segments = append([]outline.Segment(nil), chain.Segments...)
	for {
		// Back at the start? A single piece was asked so before.
		here := chain.end()
		next := j.near(here, end{-1, false})
		if len(next) == 0 {
			break
		}
		j.used[next[0].piece] = true
		p := j.pieces[next[0].piece]
		if next[0].last {
			p.reverse()
		}
		j.bridge(&chain.Contour, p.Start)
		chain.Segments = append(chain.Segments, p.Segments...) // its start moves to here, within the tolerance
	}
	if gap := distance(chain.Start, chain.end()); gap > j.tolerance {
		if j.keepOpen {
			j.open = append(j.open, chain)
			return outline.Contour{}, nil
		}
		return outline.Contour{}, refuse(chain.line, "close it, or put what is no cut on another layer and name that of the cut", "the contour that starts here is open: it runs from %s to %s, and the ends are %s apart",
			j.axis.show(chain.Start), j.axis.show(chain.end()), gap)
	}
	j.bridge(&chain.Contour, chain.Start)
	chain.Segments[len(chain.Segments)-1].To = chain.Start
	return chain.Contour, nil
}

// bridge closes a gap by a line, where gaps are closed.
func (j *joiner) bridge(c *outline.Contour, to geometry.Position) {
	from := c.Segments[len(c.Segments)-1].To
	if j.gaps == nil || from == to {
		return
	}
	*j.gaps = append(*j.gaps, Gap{distance(from, to), j.axis.show(from)})
	c.Line(to)
}

// Join makes closed contours of pieces that lie in no file, their ends within
// DefaultJoin; a piece that is drawn twice counts once. What doesn't close comes
// back as open. It fails where three ends meet, with an *Error.
func Join(pieces []outline.Contour) (whole, open []outline.Contour, err error) {
	j := newJoiner(DefaultJoin, downwards)
	j.keepOpen = true
	list := make([]piece, len(pieces))
	for i, c := range pieces {
		list[i] = piece{Contour: c}
	}
	found, err := j.join(list, &Drawing{})
	if err != nil {
		return nil, nil, err
	}
	for _, c := range found {
		whole = append(whole, c.Contour)
	}
	for _, p := range j.open {
		open = append(open, p.Contour)
	}
	return whole, open, nil
}

func distance(a, b geometry.Position) geometry.Length {
	return geometry.Length(math.Hypot(float64(a.Across-b.Across), float64(a.Around-b.Around)))
}

// length returns the length of the chords and control polygons, which is enough
// to tell a line from a speck.
func length(c outline.Contour) geometry.Length {
	var sum geometry.Length
	from := c.Start
	for _, s := range c.Segments {
		if s.Curve {
			sum += distance(from, s.C1) + distance(s.C1, s.C2) + distance(s.C2, s.To)
		} else {
			sum += distance(from, s.To)
		}
		from = s.To
	}
	return sum
}

// finish joins the pieces and makes the drawing's outline.
func (d *Drawing) finish(pieces []piece, o Options, a axis) error {
	tolerance := o.Join
	if tolerance <= 0 {
		tolerance = DefaultJoin
	}
	j := newJoiner(tolerance, a)
	j.keepOpen = o.Join <= 0
	found, err := j.join(pieces, d)
	if err != nil {
		return err
	}
	if len(j.open) > 0 {
		wider := newJoiner(MostGap, a)
		wider.gaps = &d.Gaps
		closed, err := wider.join(j.open, d)
		if err != nil {
			return err
		}
		found = append(found, closed...)
	}
	if len(found) == 0 && o.Only != "" {
		return refuse(0, "name a layer (DXF) or the id of an element (SVG), or leave the name out to read all", "nothing named %q holds a contour", o.Only)
	} else if len(found) == 0 {
		return refuse(0, "draw the cut as lines, arcs or paths", "the drawing has no closed contour")
	}
	found = d.once(found, tolerance)
	contours := make([]outline.Contour, len(found))
	for i, c := range found {
		contours[i] = c.Contour
	}
	all, err := outline.New(contours...)
	if err != nil {
		return fault(err, found, a)
	}
	d.Outline = all.At(geometry.Position{})
	return nil
}

// fault turns a fault of the outline into one of the file. What is wrong with
// one contour has its line; contours that cross each other have a place only.
func fault(err error, found []closed, a axis) error {
	line := 0
	for _, c := range found {
		if _, alone := outline.New(c.Contour); alone != nil {
			line, err = c.line, alone
			break
		}
	}
	text := err.Error()
	if f, ok := errors.AsType[*outline.Fault](err); ok {
		text = fmt.Sprintf("%s, at %s", f.Why, a.show(f.At))
	}
	return refuse(line, "mend the drawing there", "%s", text)
}
