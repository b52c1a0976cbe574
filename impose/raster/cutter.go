package raster

import (
	"bytes"
	"context"
	"io"
	"slices"

	"quoin/impose/pdfobj"
)

// sets reports whether an operator overwrites what was set before with the same one,
// whatever it was (ISO 32000-1 Annex A).
func sets(op string) bool {
	switch op {
	case "w", "J", "j", "M", "d", "ri", "i", "CS", "cs", "SC", "SCN", "sc", "scn", "G", "g", "RG", "rg", "K", "k", "Tc", "Tw", "Tz", "TL", "Tf", "Tr", "Ts":
		return true
	}
	return false
}

// keeps reports whether an operator paints nothing.
func keeps(op string) bool {
	switch op {
	case "q", "Q", "cm", "gs", "m", "l", "c", "v", "y", "h", "re", "W", "W*", "n", "BX", "EX", "BMC", "BDC", "EMC", "MP", "DP":
		return true
	}
	return sets(op)
}

// frame is what was set since a state was saved, or marked content was begun.
type frame struct {
	opener []byte
	marked bool // marked content: what is set there holds beyond its end
	ops    []setting
	bytes  int
}

// setting is an operator with its operands; what overwrites an earlier one of the
// same key takes its place. "" overwrites nothing.
type setting struct {
	key  string
	text []byte
}

func (f *frame) set(key string, text []byte) {
	s := setting{key: key}
	if key != "" {
		if i := slices.IndexFunc(f.ops, func(o setting) bool { return o.key == key }); i >= 0 {
			s = f.ops[i]
			f.bytes -= len(s.text)
			f.ops = slices.Delete(f.ops, i, i+1)
		}
	}
	s.text = append(s.text[:0], text...)
	f.ops = append(f.ops, s)
	f.bytes += len(s.text)
}

// cutter copies content and finds where it may be cut: where no path, text or image
// has been begun.
type cutter struct {
	in io.Reader
	to io.Writer

	held   []byte // what was read and not yet gone through
	base   int64  // where in the content it begins
	wrote  int64
	err    error
	frames []frame
	path   []byte // that is being built
	begun  bool   // there is one
	clips  bool   // what is painted next sets it as clip
	text   bool   // between BT and ET
	whole  bool   // it is not known how to restore a state: no more cuts
	parts  []part
}

// Read lets the scanner read the content, and keeps it until that has gone through.
func (c *cutter) Read(p []byte) (int, error) {
	n, err := c.in.Read(p)
	c.held = append(c.held, p[:n]...)
	return n, err
}

// run goes through the content.
func (c *cutter) run(ctx context.Context) error {
	c.frames = []frame{{}}
	s := pdfobj.NewContentScanner(c)
	s.Reuse, s.Plain = true, true
	c.parts = []part{{}}
	var at int64
	for n := 0; s.Next(); n++ {
		if n%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		to, known := s.Place()
		if !known {
			c.whole = true
		}
		c.operate(s.Latest(), c.held[at-c.base:to-c.base])
		at = to
		if len(c.held) > 1<<20 {
			c.pass(at)
		}
		c.cut(at)
	}
	if s.Err() != nil {
		c.parts = nil // the renderer sees to it
		return nil
	}
	c.pass(c.base + int64(len(c.held)))
	c.parts[len(c.parts)-1].to = c.wrote
	return c.err
}

// pass writes what lies before a place.
func (c *cutter) pass(to int64) {
	n, err := c.to.Write(c.held[:to-c.base])
	c.wrote += int64(n)
	if c.err == nil {
		c.err = err
	}
	c.held = append(c.held[:0], c.held[to-c.base:]...)
	c.base = to
}

// cut ends a slice at a place, where one may end and it is long enough.
func (c *cutter) cut(at int64) {
	last := &c.parts[len(c.parts)-1]
	if at-last.from < sliceBytes || c.whole || c.text || c.begun {
		return
	}
	size := 0
	for _, f := range c.frames {
		size += f.bytes + len(f.opener)
	}
	if size > mostReplayed {
		return
	}
	last.to = at
	next := part{from: at}
	for i, f := range c.frames {
		next.before = append(append(next.before, f.opener...), '\n')
		for _, o := range f.ops {
			next.before = append(append(next.before, o.text...), '\n')
		}
		if end := c.frames[len(c.frames)-1-i]; len(end.opener) == 0 {
		} else if end.marked {
			last.after = append(last.after, "\nEMC"...)
		} else {
			last.after = append(last.after, "\nQ"...)
		}
	}
	c.parts = append(c.parts, next)
}

// operate notes what an operator, whose text is the content's, does to the state.
func (c *cutter) operate(op *pdfobj.Operation, text []byte) {
	top := &c.frames[len(c.frames)-1]
	switch name := op.Operator; name {
	case "q":
		c.whole = c.whole || c.text
		c.frames = append(c.frames, frame{opener: []byte("q")})
	case "BMC", "BDC":
		c.frames = append(c.frames, frame{opener: bytes.Clone(text), marked: true})
	case "Q", "EMC":
		c.leave(name == "EMC")
	case "m", "l", "c", "v", "y", "h", "re", "W", "W*":
		c.begun = true
		c.clips = c.clips || name[0] == 'W'
		if len(c.path) <= mostReplayed {
			c.path = append(append(c.path, text...), '\n')
		}
	case "S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "n":
		if c.clips {
			c.whole = c.whole || len(c.path) > mostReplayed
			top.set("", append(c.path, 'n'))
		}
		c.path, c.begun, c.clips = c.path[:0], false, false
	case "cm":
		top.set("", text)
	case "gs":
		top.set("gs "+string(pdfobj.NameAt(op.Operands, len(op.Operands)-1)), text)
	case "BT", "ET":
		c.text = name == "BT"
	case "BX", "EX", "\"":
		c.whole = true
	default:
		if sets(name) {
			top.set(name, text)
		}
	}
}

// leave ends what q or marked content began.
func (c *cutter) leave(marked bool) {
	n := len(c.frames) - 1
	top := &c.frames[n]
	switch {
	case n == 0 && !marked: // there is nothing to restore
	case n == 0 || top.marked != marked:
		c.whole = true
	default:
		c.frames = c.frames[:n]
		if marked {
			for _, s := range top.ops {
				c.frames[n-1].set(s.key, s.text)
			}
		}
	}
}
