package job

import (
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// plainYAML parses the part of YAML that lists of thousands of records are
// written in, faster than the library does: block mappings and block lists,
// words, texts in quotes without escapes, and lists of those in brackets, each
// on one line. It is false for any file that holds anything else, even a fault:
// only the library says what that means. Where it is true, the tree is the
// library's in kind, style, value and place of each node. Comments and the tags
// of words are left out, since the reader asks only for the tag of null, which
// is among what is left to the library.
//
// The text must be readable: no control characters, and no odd ends of lines.
func plainYAML(text string) (*yaml.Node, bool) {
	if strings.ContainsFunc(text, func(c rune) bool { return c == '\t' || c > lastPlain }) {
		return nil, false
	}
	p := plainParser{rest: text}
	p.next()
	root := p.block()
	return root, root != nil && p.ended()
}

const (
	// lastPlain is the last character before the surrogates. Behind them stand
	// the private ones and others that the library refuses in part.
	lastPlain = '\ud7ff'
	// The library bounds the length of keys and the depth of nesting: files that
	// come near the bounds are left to it.
	longestPlainKey = 64
	deepestPlain    = 100 // columns
)

// plainParser stands somewhere in a line. Its methods give nil for what is not
// plain, and then it is of no more use.
type plainParser struct {
	text  string // of the line, from here, without spaces at its end
	line  int    // counts from 1
	col   int    // in characters, counts from 0; -1 behind the last line
	rest  string // the lines below
	nodes []yaml.Node
	open  []*yaml.Node // content of the nodes that are not closed yet
}

// next goes to the next line that holds more than a comment.
func (p *plainParser) next() {
	for p.rest != "" {
		var line string
		line, p.rest, _ = strings.Cut(p.rest, "\n")
		p.line++
		line = strings.TrimSuffix(line, "\r")
		text := strings.TrimLeft(line, " ")
		if text != "" && text[0] != '#' {
			p.text, p.col = strings.TrimRight(text, " "), len(line)-len(text)
			return
		}
	}
	p.text, p.col = "", -1
}

func (p *plainParser) ended() bool { return p.col < 0 }

// skip goes over so many bytes of the line and the spaces behind them.
func (p *plainParser) skip(n int) {
	p.pass(n)
	p.pass(len(p.text) - len(strings.TrimLeft(p.text, " ")))
}

func (p *plainParser) pass(n int) {
	p.col += utf8.RuneCountInString(p.text[:n])
	p.text = p.text[n:]
}

// node begins a node here. Nodes are made many at a time.
func (p *plainParser) node(kind yaml.Kind, style yaml.Style, text string) *yaml.Node {
	if len(p.nodes) == 0 {
		p.nodes = make([]yaml.Node, 256)
	}
	n := &p.nodes[0]
	p.nodes = p.nodes[1:]
	n.Kind, n.Style, n.Value, n.Line, n.Column = kind, style, text, p.line, p.col+1
	return n
}

// close gives a node the content that was opened since there were so many.
func (p *plainParser) close(n *yaml.Node, before int) *yaml.Node {
	n.Content = append([]*yaml.Node(nil), p.open[before:]...)
	p.open = p.open[:before]
	return n
}

// block reads a mapping or a list that begins here and takes whole lines.
func (p *plainParser) block() *yaml.Node {
	switch {
	case p.col > deepestPlain:
		return nil
	case p.atItem():
		return p.list()
	}
	return p.mapping()
}

func (p *plainParser) atItem() bool { return strings.HasPrefix(p.text, "- ") }

func (p *plainParser) mapping() *yaml.Node {
	m, col, before := p.node(yaml.MappingNode, 0, ""), p.col, len(p.open)
	for p.col == col {
		key := plainKey(p.text)
		if key == "" {
			return nil
		}
		k := p.node(yaml.ScalarNode, 0, key)
		p.skip(len(key) + 1)
		v := p.valueInside(col)
		if v == nil {
			return nil
		}
		p.open = append(p.open, k, v)
	}
	if p.col > col {
		return nil
	}
	return p.close(m, before)
}

// valueInside reads the value of a key at a column: behind the key, or in the
// lines below, where the hyphens of a list may stand right under the key.
func (p *plainParser) valueInside(col int) *yaml.Node {
	if p.text != "" && p.text[0] != '#' {
		return p.lineValue()
	}
	p.next()
	if p.col > col || p.col == col && p.atItem() {
		return p.block()
	}
	return nil
}

func (p *plainParser) list() *yaml.Node {
	l, col, before := p.node(yaml.SequenceNode, 0, ""), p.col, len(p.open)
	for p.col == col && p.atItem() {
		p.skip(1)
		var v *yaml.Node
		if plainKey(p.text) != "" {
			v = p.block()
		} else {
			v = p.lineValue()
		}
		if v == nil || p.col > col {
			return nil
		}
		p.open = append(p.open, v)
	}
	return p.close(l, before)
}

// plainKey gives the key that a text begins with, or "".
func plainKey(text string) string {
	n := 0
	for n < len(text) && (isPlainWord[text[n]] || n > 0 && text[n] == '-') {
		n++
	}
	key, behind := text[:n], text[n:]
	if n > longestPlainKey || !startsPlain(text) || isNull(key) || behind != ":" && !strings.HasPrefix(behind, ": ") {
		return ""
	}
	return key
}

// isPlainWord tells the letters, digits and underscores.
var isPlainWord = func() (is [256]bool) {
	for _, c := range []byte("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_") {
		is[c] = true
	}
	return is
}()

// startsPlain reports whether a word begins here that is no sign of YAML.
func startsPlain(text string) bool {
	switch {
	case text == "":
		return false
	case text[0] == '-':
		return len(text) > 1 && isPlainWord[text[1]]
	}
	return isPlainWord[text[0]] || text[0] == '.' || text[0] == '/' || text[0] >= utf8.RuneSelf
}

func isNull(word string) bool { return word == "null" || word == "Null" || word == "NULL" }
