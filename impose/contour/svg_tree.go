package contour

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"

	"golang.org/x/text/encoding/ianaindex"
)

// node is an element of an SVG file.
type node struct {
	name  string
	a     map[string]string // its attributes by their local names
	label string            // that a drawing program shows
	text  string            // inside it, of style elements
	line  int
	inner []*node
}

func (n *node) each(f func(*node)) {
	f(n)
	for _, c := range n.inner {
		c.each(f)
	}
}

// parseTree reads the whole file.
func parseTree(r io.Reader) (*node, error) {
	limited := &io.LimitedReader{R: r, N: mostBytes + 1}
	decoder := xml.NewDecoder(limited)
	var unknown error // encoding
	decoder.CharsetReader = func(name string, in io.Reader) (io.Reader, error) {
		if strings.HasPrefix(strings.ToLower(name), "utf-16") {
			return in, nil // it is UTF-8 by now, or the XML would not have begun
		}
		e, err := ianaindex.MIME.Encoding(name)
		if err != nil || e == nil {
			unknown = refuse(1, "save it as UTF-8", "the encoding %q is not known", clip(name))
			return nil, unknown
		}
		return e.NewDecoder().Reader(in), nil
	}
	var open []*node
	var root *node
	for count := 0; ; {
		line, _ := decoder.InputPos()
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) && limited.N > 0 {
			break
		}
		if unknown != nil {
			return nil, unknown
		}
		if err != nil {
			return nil, xmlFault(err, limited.N <= 0)
		}
		switch e := token.(type) {
		case xml.StartElement:
			if count++; count > 10*mostSegments {
				return nil, refuse(line, "export the cut alone", "the drawing has more than %d elements", 10*mostSegments)
			}
			n := newNode(e, line)
			switch {
			case root == nil && n.name != "svg":
				return nil, refuse(line, "check that this is an SVG file", "the file begins with the element %q, not svg", clip(n.name))
			case root == nil:
				root = n
			case len(open) > mostDepth:
				return nil, refuse(line, "ungroup the drawing", "elements lie more than %d deep in each other", mostDepth)
			default:
				outer := open[len(open)-1]
				outer.inner = append(outer.inner, n)
			}
			open = append(open, n)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 && open[len(open)-1].name == "style" {
				open[len(open)-1].text += string(e)
			}
		}
	}
	if root == nil {
		return nil, refuse(0, "check that this is an SVG file", "the file holds no svg element")
	}
	return root, nil
}

func xmlFault(err error, tooLarge bool) error {
	if tooLarge {
		return refuse(0, "export the cut alone", "the file is larger than %d MB", mostBytes>>20)
	}
	if syntax := (*xml.SyntaxError)(nil); errors.As(err, &syntax) {
		return refuse(syntax.Line, "export the file again", "the XML is damaged: %s", syntax.Msg)
	}
	return unpacking(err)
}

// newNode takes an element's attributes. Those of other name spaces are left out
// but for href and the label that Inkscape gives to layers.
func newNode(e xml.StartElement, line int) *node {
	n := &node{name: e.Name.Local, a: map[string]string{}, line: line}
	if s := e.Name.Space; s != "" && !strings.HasSuffix(s, "/svg") && s != "svg" {
		n.name = "metadata" // of the drawing program
	}
	for _, a := range e.Attr {
		value := strings.TrimSpace(a.Value)
		switch {
		case a.Name.Space == "":
			n.a[a.Name.Local] = value
		case a.Name.Local == "href" && n.a["href"] == "":
			n.a["href"] = value
		case a.Name.Local == "label":
			n.label = value
		}
	}
	return n
}
