package job

import (
	"strings"

	"go.yaml.in/yaml/v4"
)

// lineValue reads a value that ends with the line, and goes to the next line.
func (p *plainParser) lineValue() *yaml.Node {
	var n *yaml.Node
	switch {
	case p.text == "":
		return nil
	case p.text[0] == '[':
		n = p.brackets()
	case isQuote(p.text[0]):
		n = p.quoted()
	default:
		n = p.words()
	}
	if n == nil || p.text != "" && !strings.HasPrefix(strings.TrimLeft(p.text, " "), "#") || strings.HasPrefix(p.text, "#") {
		return nil
	}
	p.next()
	return n
}

func isQuote(c byte) bool { return c == '"' || c == '\'' }

// words reads a text without quotes that goes on to the end of the line or to a
// comment.
func (p *plainParser) words() *yaml.Node {
	s, _, _ := strings.Cut(p.text, " #")
	s = strings.TrimRight(s, " ")
	if strings.Contains(s, ": ") || strings.HasSuffix(s, ":") {
		return nil
	}
	return p.word(s)
}

// word makes a scalar of a text that begins here, unless it has a meaning of its
// own.
func (p *plainParser) word(s string) *yaml.Node {
	if !startsPlain(s) || isNull(s) {
		return nil
	}
	n := p.node(yaml.ScalarNode, 0, s)
	p.pass(len(s))
	return n
}

// quoted reads a text in quotes that holds neither the quote nor an escape.
func (p *plainParser) quoted() *yaml.Node {
	quote, style := p.text[:1], yaml.DoubleQuotedStyle
	if quote == "'" {
		style = yaml.SingleQuotedStyle
	}
	s, behind, closed := strings.Cut(p.text[1:], quote)
	if !closed || quote == `"` && strings.Contains(s, `\`) || strings.HasPrefix(behind, quote) {
		return nil
	}
	n := p.node(yaml.ScalarNode, style, s)
	p.pass(len(s) + 2)
	return n
}

// brackets reads a list of words and quoted texts, such as [paper, film].
func (p *plainParser) brackets() *yaml.Node {
	l, before := p.node(yaml.SequenceNode, yaml.FlowStyle, ""), len(p.open)
	for {
		p.skip(1) // the bracket or the comma
		var n *yaml.Node
		if p.text != "" && isQuote(p.text[0]) {
			n = p.quoted()
		} else {
			n = p.word(bracketWord(p.text))
		}
		p.skip(0)
		switch {
		case n == nil || p.text == "":
			return nil
		case p.text[0] == ',':
			p.open = append(p.open, n)
		case p.text[0] == ']':
			p.open = append(p.open, n)
			p.pass(1)
			return p.close(l, before)
		default:
			return nil
		}
	}
}

// bracketWord gives the word that a text begins with. Inside brackets, fewer
// characters are plain.
func bracketWord(text string) string {
	n := 0
	for n < len(text) && (isPlainWord[text[n]] || strings.IndexByte(" ./-+%", text[n]) >= 0) {
		n++
	}
	return strings.TrimRight(text[:n], " ")
}
