package plate

import (
	"fmt"
	"math"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// scout looks through a page's own content for the forms that it paints again and
// again, as a frame does its labels.
type scout struct {
	digests *digests
	paints  []laid
	path    []step
	clips   bool // the path becomes a clip when it ends
	bars    bool // something makes what is painted depend on more than its place
}

// laid is one painting of a page's own content. Its key is empty unless it is
// a form that is painted without anything that mixes it with what lies beneath.
type laid struct {
	key string
	at  [2]float64   // where the origin of the form's space lies
	box artwork.Rect // that nothing of it goes beyond
}

// step is an operator of a path, its places in the page's space.
type step struct {
	op     string
	places [][2]float64
}

// clip is what content is clipped to: paths within paths.
type clip struct {
	around *clip
	path   []step
	rule   string
}

// span is some of the paintings of a page's own content: from up to to.
type span struct{ from, to int }

const toTheEnd = math.MaxInt

// paints reports whether an operator paints.
func paints(op string) bool {
	switch op {
	case "Do", "sh", "BI", "Tj", "TJ", "'", "\"":
		return true
	}
	return painted[op] != 0
}

// skips reports, of each operator of the page's own content in turn, whether it
// paints something that is not to be drawn now.
func (x *rewriter) skips(op string, args []pdfobj.Object) bool {
	if s := x.b.scout; s != nil {
		s.follow(x, op, args)
	}
	if !paints(op) {
		return false
	}
	n := x.painted
	x.painted++
	if s := x.b.scout; s != nil {
		s.paints = append(s.paints, s.seen(x, op, args))
		return true
	}
	return x.b.span != nil && (n < x.b.span.from || n >= x.b.span.to)
}

// follow keeps the path and the clip.
func (s *scout) follow(x *rewriter, op string, args []pdfobj.Object) {
	add := func(places ...[2]float64) {
		for i, p := range places {
			u, v := x.g.ctm.Apply(p[0], p[1])
			places[i] = [2]float64{u, v}
		}
		s.path = append(s.path, step{op, places})
	}
	at := func(i int) [2]float64 { return [2]float64{pdfobj.NumberAt(args, i), pdfobj.NumberAt(args, i+1)} }
	switch op {
	case "m", "l":
		add(at(0))
	case "v", "y":
		add(at(0), at(2))
	case "c":
		add(at(0), at(2), at(4))
	case "h":
		add()
	case "re":
		a, w, h := at(0), pdfobj.NumberAt(args, 2), pdfobj.NumberAt(args, 3)
		add(a, [2]float64{a[0] + w, a[1]}, [2]float64{a[0] + w, a[1] + h}, [2]float64{a[0], a[1] + h})
	case "W", "W*":
		s.clips = true
		s.path = append(s.path, step{op: op})
	case "gs":
		state := x.b.doc.Dict(x.res.find(x.b.doc, "ExtGState", lastName(args)))
		s.bars = s.bars || state["SMask"] != nil && x.b.doc.Name(state["SMask"]) != "None"
	default:
		s.bars = s.bars || x.g.render >= 4 && paints(op) // text that clips
		if painted[op] == 0 && op != "n" {
			return
		}
		if s.clips {
			x.g.clip = &clip{x.g.clip, s.path, op}
		}
		s.path, s.clips = nil, false
	}
}

// seen says what a painting is.
func (s *scout) seen(x *rewriter, op string, args []pdfobj.Object) laid {
	if op != "Do" || x.hidden > 0 || x.g.opacity() != opaque {
		return laid{}
	}
	name := lastName(args)
	o := x.res.find(x.b.doc, "XObject", name)
	stream := x.b.doc.Stream(o)
	if stream == nil || x.b.doc.Name(stream.Dict["Subtype"]) != "Form" || !x.b.page.Shows(stream.Dict["OC"]) {
		return laid{}
	}
	box, ok := x.b.bounds(stream, x.g.ctm)
	if !ok {
		return laid{}
	}
	m := x.g.ctm
	p := laid{at: [2]float64{m[4], m[5]}, box: x.g.clip.bounds(box)}
	if p.box.Intersect(x.b.page.Boxes.Media) != p.box {
		return laid{} // it may be of any size
	}
	key := &strings.Builder{}
	fmt.Fprintf(key, "%x %s %.6f", s.digests.of(o), x.g.key(), m[:4])
	x.g.clip.describe(key, p.at)
	p.key = key.String()
	return p
}

// bounds narrows a box to what lies within the clip.
func (c *clip) bounds(box artwork.Rect) artwork.Rect {
	for ; c != nil; c = c.around {
		own := artwork.Rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, s := range c.path {
			for _, p := range s.places {
				own = artwork.Rect{min(own[0], p[0]), min(own[1], p[1]), max(own[2], p[0]), max(own[3], p[1])}
			}
		}
		box = box.Intersect(own)
	}
	return box
}

// describe writes where the clip lies from a place, to the hundredth of a point.
func (c *clip) describe(to *strings.Builder, from [2]float64) {
	for ; c != nil; c = c.around {
		fmt.Fprint(to, " clip ", c.rule)
		for _, s := range c.path {
			fmt.Fprint(to, " ", s.op)
			for _, p := range s.places {
				fmt.Fprint(to, " ", math.Round((p[0]-from[0])*100), " ", math.Round((p[1]-from[1])*100))
			}
		}
	}
}

// repeated returns the longest run of forms that nothing is painted between, if each
// of them is there twice at least, one with another.
func (s *scout) repeated() (span, bool) {
	var best, run span
	for i, p := range append(s.paints, laid{}) {
		if p.key != "" {
			continue
		}
		if run.to = i; run.to-run.from > best.to-best.from {
			best = run
		}
		run.from = i + 1
	}
	kinds := map[string]bool{}
	for _, p := range s.paints[best.from:best.to] {
		kinds[p.key] = true
	}
	return best, !s.bars && len(kinds) > 0 && best.to-best.from >= 2*len(kinds)
}
