package pdfobj

import (
	"errors"
	"fmt"
)

// maxItems bounds the objects inside one object: text such as "[0 0 0 ..."
// grows by a factor of eight in memory.
const maxItems = 4 << 20

var errTooDeep = errors.New("objects are nested too deeply")

// parser builds objects from tokens.
type parser struct {
	*lexer
	maxDepth int
	// content is set for content streams, which have no references.
	content bool

	ahead unread
	items int
}

// start forgets what was read ahead, before a new object.
func (p *parser) start() {
	p.ahead = p.ahead[:0]
	p.items = 0
}

func (p *parser) token() (token, error) {
	if n := len(p.ahead); n > 0 {
		t := p.ahead[n-1]
		p.ahead = p.ahead[:n-1]
		return t, nil
	}
	return p.next()
}

// unread are tokens read but not used, the next one last.
type unread []token

func (u *unread) put(t token) { *u = append(*u, t) }

// object parses one object. A keyword that begins none is given back and
// errNoObject returned.
func (p *parser) object(depth int) (Object, error) {
	t, err := p.token()
	if err != nil {
		return nil, err
	}
	return p.objectFrom(t, depth)
}

var errNoObject = errors.New("an object was expected")

func (p *parser) objectFrom(t token, depth int) (Object, error) {
	if depth > p.maxDepth {
		return nil, errTooDeep
	}
	p.items++
	if p.items > maxItems {
		return nil, fmt.Errorf("%w: an object has more than %d parts", ErrBudget, maxItems)
	}
	switch t.kind {
	case tokenInteger:
		return p.integerOrRef(t)
	case tokenReal:
		return Real(t.real), nil
	case tokenString:
		return String(t.text), nil
	case tokenName:
		return Name(t.text), nil
	case tokenArrayOpen:
		return p.array(depth)
	case tokenDictOpen:
		return p.dict(depth)
	case tokenKeyword:
		switch t.text {
		case "true":
			return true, nil
		case "false":
			return false, nil
		case "null":
			return nil, nil
		}
	}
	p.ahead.put(t)
	return nil, errNoObject
}

// integerOrRef looks two tokens ahead for "G R".
func (p *parser) integerOrRef(first token) (Object, error) {
	n := Integer(first.num)
	if p.content || first.num < 0 {
		return n, nil
	}
	second, err := p.token()
	if err != nil {
		return nil, err
	}
	if second.kind != tokenInteger || second.num < 0 || second.num > maxGeneration {
		p.ahead.put(second)
		return n, nil
	}
	third, err := p.token()
	if err != nil {
		return nil, err
	}
	if !third.isKeyword("R") {
		p.ahead.put(third)
		p.ahead.put(second)
		return n, nil
	}
	if first.num > maxObjectNumber || first.num == 0 {
		return nil, nil // no such object can exist
	}
	return Ref{Num: int(first.num), Gen: int(second.num)}, nil
}

const (
	maxGeneration = 65535
	// maxObjectNumber is the limit that Annex C states for conforming
	// readers of the time.
	maxObjectNumber = 8388607
)

// closes reports whether a keyword shows that a composite object was never
// closed.
func (p *parser) closes(t token) bool {
	if p.content {
		return len(t.text) > 0 && isRegular(t.text[0])
	}
	switch t.text {
	case "endobj", "obj", "stream", "endstream", "xref", "trailer", "startxref":
		return true
	}
	return false
}

func (p *parser) array(depth int) (Object, error) {
	a := Array{}
	for {
		t, err := p.token()
		if err != nil {
			return nil, err
		}
		switch t.kind {
		case tokenEOF:
			return a, nil
		case tokenArrayClose:
			return a, nil
		case tokenDictClose:
			p.ahead.put(t) // the array was not closed inside a dictionary
			return a, nil
		}
		o, err := p.objectFrom(t, depth+1)
		if err == errNoObject {
			t, _ = p.token()
			if p.closes(t) {
				p.ahead.put(t)
				return a, nil
			}
			continue
		}
		if err != nil {
			return nil, err
		}
		a = append(a, o)
	}
}

// dict parses a dictionary after its <<. Keys that are no names are skipped,
// the first of equal keys is overruled by the last, null values are left out.
func (p *parser) dict(depth int) (Object, error) {
	d := Dict{}
	for {
		t, err := p.token()
		if err != nil {
			return nil, err
		}
		switch t.kind {
		case tokenEOF, tokenDictClose:
			return d, nil
		case tokenName:
		case tokenKeyword:
			if p.closes(t) {
				p.ahead.put(t)
				return d, nil
			}
			continue
		default:
			p.items++
			continue
		}
		key := Name(t.text)
		t, err = p.token()
		if err != nil {
			return nil, err
		}
		if t.kind == tokenDictClose || t.kind == tokenEOF {
			return d, nil
		}
		o, err := p.objectFrom(t, depth+1)
		if err == errNoObject {
			t, _ = p.token()
			if p.closes(t) {
				p.ahead.put(t)
				return d, nil
			}
			continue
		}
		if err != nil {
			return nil, err
		}
		if o == nil {
			delete(d, key)
		} else {
			d[key] = o
		}
	}
}
