package pdfobj

import (
	"errors"
	"io"

	"quoin/impose/pdfobj/filter"
)

type tokenKind uint8

const (
	tokenEOF tokenKind = iota
	tokenInteger
	tokenReal
	tokenString
	tokenName
	tokenKeyword
	tokenArrayOpen
	tokenArrayClose
	tokenDictOpen
	tokenDictClose
)

// token is one lexical token (7.2). Only the field of its kind is set.
type token struct {
	kind tokenKind
	num  int64
	real float64
	text string
}

func (t token) isKeyword(word string) bool {
	return t.kind == tokenKeyword && t.text == word
}

const (
	// maxString bounds one string or name token: an unclosed parenthesis must
	// not pull the rest of a large file into memory.
	maxString = 32 << 20
	// window is how much is read at a time. Objects are mostly small and far
	// apart, so a large window would only be thrown away.
	window = 4096
	// widest is how much of a long stream, which is read from its beginning to its end.
	widest = 32 << 10
)

var errTokenTooLong = errors.New("string or name is too long")

type charClass uint8

const (
	regular charClass = iota
	space
	delimiter
)

// classes holds the character classes of 7.2.2.
var classes = func() (c [256]charClass) {
	for _, b := range "\x00\t\n\f\r " {
		c[b] = space
	}
	for _, b := range "()<>[]{}/%" {
		c[b] = delimiter
	}
	return c
}()

func isSpace(b byte) bool   { return classes[b] == space }
func isRegular(b byte) bool { return classes[b] == regular }
func isDigit(b byte) bool   { return b >= '0' && b <= '9' }

// lexer cuts a source into tokens, forgiving whatever readers in the field
// forgive.
type lexer struct {
	src  io.ReaderAt
	base int64  // where buf[0] lies in src
	buf  []byte // the window
	pos  int    // next byte in buf
	eof  bool   // src has nothing after buf
	err  error  // first read error other than io.EOF
	wide bool   // the window grows with what has been read

	scratch []byte
	names   map[string]string // interned names and keywords
}

func newLexer(src io.ReaderAt) *lexer {
	return &lexer{src: src, buf: make([]byte, 0, window), names: map[string]string{}}
}

// newBytesLexer reads tokens from bytes in memory, which it never changes.
func newBytesLexer(data []byte) *lexer {
	return &lexer{buf: data, eof: true, names: map[string]string{}}
}

// seek moves to an offset of the source.
func (l *lexer) seek(off int64) {
	if off >= l.base && off <= l.base+int64(len(l.buf)) {
		l.pos = int(off - l.base)
		return
	}
	if l.src == nil {
		l.pos = len(l.buf)
		return
	}
	l.base, l.pos, l.eof = off, 0, false
	l.buf = l.buf[:0]
}

func (l *lexer) offset() int64 { return l.base + int64(l.pos) }

// ensure makes n bytes available after pos, if the source has that many.
func (l *lexer) ensure(n int) bool {
	for len(l.buf)-l.pos < n {
		if l.eof {
			return false
		}
		rest := len(l.buf) - l.pos
		if cap(l.buf) < n || l.wide && cap(l.buf) < widest && l.offset() > int64(4*cap(l.buf)) {
			grown := make([]byte, rest, max(2*cap(l.buf), n))
			copy(grown, l.buf[l.pos:])
			l.buf = grown
		} else {
			copy(l.buf[:rest], l.buf[l.pos:])
			l.buf = l.buf[:rest]
		}
		l.base += int64(l.pos)
		l.pos = 0
		got, err := l.src.ReadAt(l.buf[rest:cap(l.buf)], l.base+int64(rest))
		l.buf = l.buf[:rest+got]
		if err != nil || got == 0 {
			l.eof = true
			if err != nil && err != io.EOF && l.err == nil {
				l.err = err
			}
		}
	}
	return true
}

// peek returns the next byte without taking it; ok is false at the end.
func (l *lexer) peek() (b byte, ok bool) {
	if l.pos >= len(l.buf) && !l.ensure(1) {
		return 0, false
	}
	return l.buf[l.pos], true
}

func (l *lexer) take() (b byte, ok bool) {
	b, ok = l.peek()
	if ok {
		l.pos++
	}
	return b, ok
}

// skipSpace skips white space and comments.
func (l *lexer) skipSpace() {
	for {
		b, ok := l.peek()
		switch {
		case !ok:
			return
		case b == '%':
			for ok && b != '\n' && b != '\r' {
				l.pos++
				b, ok = l.peek()
			}
		case isSpace(b):
			l.pos++
		default:
			return
		}
	}
}

// next returns the next token. The only errors are a token past maxString
// and a failure of the source.
func (l *lexer) next() (token, error) {
	l.skipSpace()
	b, ok := l.peek()
	if !ok {
		return token{}, l.err
	}
	switch b {
	case '/':
		l.pos++
		return l.name()
	case '(':
		l.pos++
		return l.literal()
	case '[':
		l.pos++
		return token{kind: tokenArrayOpen}, nil
	case ']':
		l.pos++
		return token{kind: tokenArrayClose}, nil
	case '<':
		l.pos++
		if c, ok := l.peek(); ok && c == '<' {
			l.pos++
			return token{kind: tokenDictOpen}, nil
		}
		return l.hex()
	case '>':
		l.pos++
		if c, ok := l.peek(); ok && c == '>' {
			l.pos++
			return token{kind: tokenDictClose}, nil
		}
		return token{kind: tokenKeyword, text: ">"}, nil
	case ')', '{', '}':
		l.pos++
		return token{kind: tokenKeyword, text: string(rune(b))}, nil
	}
	if isDigit(b) || b == '+' || b == '-' || b == '.' {
		return l.number(), nil
	}
	return l.keyword()
}

func (l *lexer) keyword() (token, error) {
	s := l.scratch[:0]
	for {
		b, ok := l.peek()
		if !ok || !isRegular(b) {
			break
		}
		if len(s) >= maxString {
			return token{}, errTokenTooLong
		}
		s = append(s, b)
		l.pos++
	}
	l.scratch = s
	return token{kind: tokenKeyword, text: l.intern(s)}, nil
}

// intern returns s as a string, sharing the strings that come again and
// again in a file.
func (l *lexer) intern(s []byte) string {
	if t, ok := l.names[string(s)]; ok {
		return t
	}
	t := string(s)
	if len(t) <= 32 && len(l.names) < 4096 {
		l.names[t] = t
	}
	return t
}

// name reads a name after its slash (7.3.5). A # without two hexadecimal
// digits stands for itself.
func (l *lexer) name() (token, error) {
	s := l.scratch[:0]
	for {
		b, ok := l.peek()
		if !ok || !isRegular(b) {
			break
		}
		if len(s) >= maxString {
			return token{}, errTokenTooLong
		}
		l.pos++
		if b == '#' && l.ensure(2) {
			high, ok1 := filter.Unhex(l.buf[l.pos])
			low, ok2 := filter.Unhex(l.buf[l.pos+1])
			if ok1 && ok2 {
				b = high<<4 | low
				l.pos += 2
			}
		}
		s = append(s, b)
	}
	l.scratch = s
	return token{kind: tokenName, text: l.intern(s)}, nil
}

// hex reads a hexadecimal string after its < (7.3.4.3). White space may
// stand between any two digits; whatever is no digit is skipped.
func (l *lexer) hex() (token, error) {
	s := l.scratch[:0]
	var high byte
	odd := false
	for {
		b, ok := l.take()
		if !ok || b == '>' {
			break
		}
		digit, ok := filter.Unhex(b)
		if !ok {
			continue
		}
		if odd {
			if len(s) >= maxString {
				return token{}, errTokenTooLong
			}
			s = append(s, high<<4|digit)
		}
		high, odd = digit, !odd
	}
	if odd {
		s = append(s, high<<4)
	}
	l.scratch = s
	return token{kind: tokenString, text: string(s)}, nil
}

// literal reads a literal string after its opening parenthesis (7.3.4.2).
func (l *lexer) literal() (token, error) {
	s := l.scratch[:0]
	depth := 1
	for {
		b, ok := l.take()
		if !ok {
			break
		}
		if len(s) >= maxString {
			return token{}, errTokenTooLong
		}
		switch b {
		case '(':
			depth++
		case ')':
			depth--
		case '\r':
			l.skipByte('\n')
			b = '\n'
		case '\\':
			b, ok = l.escape()
			if !ok {
				continue
			}
		}
		if depth == 0 {
			break
		}
		s = append(s, b)
	}
	l.scratch = s
	return token{kind: tokenString, text: string(s)}, nil
}

func (l *lexer) skipByte(want byte) {
	if b, ok := l.peek(); ok && b == want {
		l.pos++
	}
}

// escape reads what follows a backslash; ok is false if that stands for
// nothing, as a line end does.
func (l *lexer) escape() (b byte, ok bool) {
	b, ok = l.take()
	if !ok {
		return 0, false
	}
	switch b {
	case 'n':
		return '\n', true
	case 'r':
		return '\r', true
	case 't':
		return '\t', true
	case 'b':
		return '\b', true
	case 'f':
		return '\f', true
	case '\n':
		return 0, false
	case '\r':
		l.skipByte('\n')
		return 0, false
	}
	if b < '0' || b > '7' {
		return b, true
	}
	v := int(b - '0')
	for range 2 {
		c, ok := l.peek()
		if !ok || c < '0' || c > '7' {
			break
		}
		v = v*8 + int(c-'0')
		l.pos++
	}
	return byte(v), true
}
