package glimpse

import (
	"errors"
	"strconv"
	"strings"
)

// kind is what an operand is.
type kind byte

const (
	isNumber kind = iota
	isName
	isString
	isArray
	isOther // a dictionary, a boolean, null
)

// operand stands before an operator.
type operand struct {
	kind   kind
	number float64
	text   string // of a name, or the bytes of a string
	list   []operand
}

// lexer cuts content into operators with their operands (ISO 32000-1 7.8.2).
type lexer struct {
	text []byte
	at   int
}

// errContent tells of content that this package doesn't understand.
var errContent = errors.New("content that isn't understood here")

const mostOperands, mostNesting = 64, 8

// next gives an operator; "" at the end. It uses operands again.
func (l *lexer) next(operands []operand) (string, []operand, error) {
	operands = operands[:0]
	for {
		l.space()
		if l.at == len(l.text) {
			if len(operands) > 0 {
				return "", nil, errContent
			}
			return "", nil, nil
		}
		if c := l.text[l.at]; regular(c) && !numeric(c) {
			word := l.word()
			if word != "true" && word != "false" && word != "null" {
				return word, operands, nil
			}
			operands = append(operands, operand{kind: isOther})
		} else {
			o, err := l.operand(0)
			if err != nil {
				return "", nil, err
			}
			operands = append(operands, o)
		}
		if len(operands) > mostOperands {
			return "", nil, errContent
		}
	}
}

func numeric(c byte) bool { return c >= '0' && c <= '9' || c == '-' || c == '+' || c == '.' }

func white(c byte) bool {
	return c == ' ' || c == '\n' || c == '\r' || c == '\t' || c == '\f' || c == 0
}

func regular(c byte) bool {
	switch c {
	case '(', ')', '<', '>', '[', ']', '{', '}', '/', '%':
		return false
	}
	return !white(c)
}

func (l *lexer) space() {
	for ; l.at < len(l.text); l.at++ {
		if l.text[l.at] == '%' {
			for l.at < len(l.text) && l.text[l.at] != '\n' && l.text[l.at] != '\r' {
				l.at++
			}
			if l.at == len(l.text) {
				return
			}
		}
		if !white(l.text[l.at]) {
			return
		}
	}
}

func (l *lexer) word() string {
	from := l.at
	for l.at < len(l.text) && regular(l.text[l.at]) {
		l.at++
	}
	return string(l.text[from:l.at])
}

func (l *lexer) operand(depth int) (o operand, err error) {
	l.space()
	if l.at == len(l.text) || depth > mostNesting {
		return o, errContent
	}
	switch c := l.text[l.at]; {
	case numeric(c):
		word := l.word()
		o.number, err = strconv.ParseFloat(word, 64)
		if err != nil || strings.Trim(word, "0123456789.+-") != "" { // 0x1p4 is one to Go
			err = errContent
		}
		return o, err
	case c == '/':
		l.at++
		return l.nameOf()
	case c == '(':
		l.at++
		return l.literal()
	case c == '<' && l.at+1 < len(l.text) && l.text[l.at+1] == '<':
		l.at += 2
		_, err := l.list(">>", depth)
		return operand{kind: isOther}, err
	case c == '<':
		l.at++
		return l.hex()
	case c == '[':
		l.at++
		list, err := l.list("]", depth)
		return operand{kind: isArray, list: list}, err
	case regular(c):
		l.word() // true, false or null, in an array or a dictionary
		return operand{kind: isOther}, nil
	}
	return o, errContent
}

// list reads operands up to the end of an array or a dictionary.
func (l *lexer) list(end string, depth int) (list []operand, err error) {
	for {
		l.space()
		if len(l.text)-l.at >= len(end) && string(l.text[l.at:l.at+len(end)]) == end {
			l.at += len(end)
			return list, nil
		}
		o, err := l.operand(depth + 1)
		if err != nil {
			return nil, err
		}
		list = append(list, o)
	}
}

func (l *lexer) nameOf() (operand, error) {
	raw := l.word()
	name := make([]byte, 0, len(raw))
	for i := 0; i < len(raw); i++ {
		if raw[i] != '#' {
			name = append(name, raw[i])
			continue
		}
		if i+2 >= len(raw) {
			return operand{}, errContent
		}
		v, err := strconv.ParseUint(raw[i+1:i+3], 16, 8)
		if err != nil {
			return operand{}, errContent
		}
		name = append(name, byte(v))
		i += 2
	}
	return operand{kind: isName, text: string(name)}, nil
}

// literal reads a string in parentheses (7.3.4.2).
func (l *lexer) literal() (operand, error) {
	var text []byte
	for open := 1; ; l.at++ {
		if l.at == len(l.text) {
			return operand{}, errContent
		}
		switch c := l.text[l.at]; c {
		case '(':
			open++
		case ')':
			if open--; open == 0 {
				l.at++
				return operand{kind: isString, text: string(text)}, nil
			}
		case '\r': // a line feed by the standard; PDFium takes it as it is
			return operand{}, errContent
		case '\\':
			var err error
			if text, err = l.escape(text); err != nil {
				return operand{}, err
			}
			continue
		}
		text = append(text, l.text[l.at])
	}
}

// escape reads what a backslash begins and stays on its last byte.
func (l *lexer) escape(text []byte) ([]byte, error) {
	if l.at++; l.at == len(l.text) {
		return nil, errContent
	}
	switch c := l.text[l.at]; c {
	case 'n':
		return append(text, '\n'), nil
	case 'r':
		return append(text, '\r'), nil
	case 't':
		return append(text, '\t'), nil
	case 'b':
		return append(text, '\b'), nil
	case 'f':
		return append(text, '\f'), nil
	case '\n':
		return text, nil // the line goes on
	case '\r':
		if l.at+1 < len(l.text) && l.text[l.at+1] == '\n' {
			l.at++
		}
		return text, nil
	default:
		if c < '0' || c > '7' {
			return append(text, c), nil
		}
	}
	v := 0
	for n := 0; n < 3 && l.at < len(l.text) && l.text[l.at] >= '0' && l.text[l.at] <= '7'; n++ {
		v = v<<3 | int(l.text[l.at]-'0')
		l.at++
	}
	l.at--
	return append(text, byte(v)), nil
}

func (l *lexer) hex() (operand, error) {
	var digits []byte
	for ; l.at < len(l.text); l.at++ {
		switch c := l.text[l.at]; {
		case c == '>':
			l.at++
			if len(digits)%2 == 1 {
				digits = append(digits, '0')
			}
			text := make([]byte, 0, len(digits)/2)
			for i := 0; i < len(digits); i += 2 {
				v, err := strconv.ParseUint(string(digits[i:i+2]), 16, 8)
				if err != nil {
					return operand{}, errContent
				}
				text = append(text, byte(v))
			}
			return operand{kind: isString, text: string(text)}, nil
		case !white(c):
			digits = append(digits, c)
		}
	}
	return operand{}, errContent
}
