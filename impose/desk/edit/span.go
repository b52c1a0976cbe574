package edit

import (
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"

	"quoin/impose/say"
)

// document is a parsed text, with where its lines begin.
type document struct {
	text  string
	lines []int      // offsets
	root  *yaml.Node // the outermost mapping; nil where the text is empty
}

func parse(text string) (*document, error) {
	d := &document{text: text, lines: []int{0}}
	for i, c := range []byte(text) {
		if c == '\n' {
			d.lines = append(d.lines, i+1)
		}
	}
	var top yaml.Node
	if err := yaml.Unmarshal([]byte(text), &top); err != nil {
		return nil, say.Refuse(say.BadFile, "mend it in an editor", "the file is no YAML: %v", err)
	}
	if len(top.Content) == 0 || top.Content[0].Tag == "!!null" {
		return d, nil
	}
	d.root = top.Content[0]
	if d.root.Kind != yaml.MappingNode {
		return nil, say.Refuse(say.BadFile, "write it as keys with values", "the file is no list of keys")
	}
	return d, nil
}

// offset returns where a node begins.
func (d *document) offset(n *yaml.Node) int {
	at := d.lines[min(max(n.Line, 1), len(d.lines))-1]
	for col := 1; col < n.Column && at < len(d.text); col++ {
		_, size := utf8.DecodeRuneInString(d.text[at:])
		at += size
	}
	return at
}

// end returns where a value ends that begins at its node and whose key, or dash,
// stands in a column, the first being 0. Anything with an anchor or an alias is
// refused: it is two places at once.
func (d *document) end(n *yaml.Node, indent int) (int, error) {
	if n.Kind == yaml.AliasNode || n.Anchor != "" || n.Style&yaml.TaggedStyle != 0 {
		return 0, say.Refuse(say.BadFile, "change it in an editor", "line %d has an anchor, an alias or a tag", n.Line)
	}
	at := d.offset(n)
	switch {
	case at >= len(d.text):
		return at, nil
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0, n.Kind != yaml.ScalarNode && n.Style&yaml.FlowStyle == 0:
		return d.block(n.Line, indent, n.Kind == yaml.SequenceNode), nil
	case n.Kind != yaml.ScalarNode:
		return flowEnd(d.text, at), nil
	case n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		return quoteEnd(d.text, at), nil
	case strings.HasPrefix(d.text[at:], n.Value):
		return at + len(n.Value), nil
	}
	return 0, say.Refuse(say.BadFile, "change it in an editor", "the value in line %d goes over several lines", n.Line)
}

// block returns the end of the last line, from one on, that is indented beyond a
// column; comments and empty lines at the end are not part of it. The dashes of
// a sequence may stand in the column of its key.
func (d *document) block(line, indent int, sequence bool) int {
	end := d.lineEnd(line)
	for n := line + 1; n <= len(d.lines); n++ {
		text := d.text[d.lines[n-1]:d.lineEnd(n)]
		bare := strings.TrimLeft(text, " ")
		if strings.TrimSpace(bare) == "" || strings.HasPrefix(bare, "#") {
			continue
		}
		in := len(text) - len(bare)
		if in <= indent && !(sequence && in == indent && strings.HasPrefix(bare, "-")) {
			break
		}
		end = d.lineEnd(n)
	}
	return end
}

// lineEnd returns where a line ends, before its line end.
func (d *document) lineEnd(line int) int {
	end := len(d.text)
	if line < len(d.lines) {
		end = d.lines[line] - 1
	}
	if end > 0 && end <= len(d.text) && d.text[end-1] == '\r' {
		end--
	}
	return max(end, d.lines[line-1])
}

// lineOf returns the line that an offset stands on.
func (d *document) lineOf(at int) int {
	n := 0
	for n < len(d.lines) && d.lines[n] <= at {
		n++
	}
	return n
}

func quoteEnd(s string, at int) int {
	quote := s[at]
	for i := at + 1; i < len(s); i++ {
		switch {
		case quote == '"' && s[i] == '\\':
			i++
		case s[i] == quote && quote == '\'' && i+1 < len(s) && s[i+1] == '\'':
			i++
		case s[i] == quote:
			return i + 1
		}
	}
	return len(s)
}

// flowEnd returns what is behind the bracket that closes the one at an offset.
func flowEnd(s string, at int) int {
	depth := 0
	for i := at; i < len(s); i++ {
		switch c := s[i]; {
		case c == '[' || c == '{':
			depth++
		case c == ']' || c == '}':
			if depth--; depth == 0 {
				return i + 1
			}
		case (c == '"' || c == '\'') && strings.IndexByte("[{,: \n", s[i-1]) >= 0:
			i = quoteEnd(s, i) - 1
		case c == '#' && strings.IndexByte(" \t\n", s[i-1]) >= 0:
			if nl := strings.IndexByte(s[i:], '\n'); nl > 0 {
				i += nl
			}
		}
	}
	return len(s)
}
