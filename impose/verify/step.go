package verify

import (
	"fmt"
	"slices"

	"quoin/impose/pdfobj"
)

// step is the way to an object, for people.
type step struct {
	before *step
	key    string
	object int // number in the file; 0 for a direct object
}

func (c *comparison) differs(at *step, code, format string, args ...any) {
	c.found++
	if c.limit > 0 && c.found > c.limit {
		return
	}
	object := ""
	for s := at; s != nil; s = s.before {
		if s.object > 0 {
			object = fmt.Sprintf("object %d", s.object)
			break
		}
	}
	c.result.differs(code, object, "%s: %s: %s", c.name, at.text(), fmt.Sprintf(format, args...))
}

// text returns the way, shortened in its middle.
func (s *step) text() string {
	var keys []string
	for ; s != nil; s = s.before {
		keys = append(keys, s.key)
	}
	slices.Reverse(keys)
	if n := len(keys); n > 9 {
		keys = slices.Concat(keys[:4], []string{"..."}, keys[n-4:])
	}
	text := ""
	for i, k := range keys {
		if i > 0 && k != "" && k[0] != '[' {
			text += "/"
		}
		text += k
	}
	return text
}

func (c *comparison) done() bool { return c.limit > 0 && c.found > c.limit }

// shown returns a short form of an object for people.
func shown(o pdfobj.Object) string {
	switch v := o.(type) {
	case nil:
		return "nothing"
	case *pdfobj.Stream:
		return fmt.Sprintf("a stream of %d bytes", v.RawLength())
	case pdfobj.Dict:
		return fmt.Sprintf("a dictionary of %d entries", len(v))
	}
	text, err := pdfobj.AppendObject(nil, o)
	if err != nil {
		return fmt.Sprintf("a %T", o)
	}
	if len(text) > 60 {
		text = append(text[:57:57], "..."...)
	}
	return string(text)
}
