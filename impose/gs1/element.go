package gs1

import (
	"strings"

	"quoin/impose/say"
)

// Element is a value under its application identifier.
type Element struct{ AI, Value string }

// fault refuses GS1 data; ai is "" where no identifier is to blame.
func fault(ai, way, format string, args ...any) error {
	if ai != "" {
		format, args = "(%s): "+format, append([]any{ai}, args...)
	}
	return say.Refuse(say.BadFile, way, format, args...)
}

// Known reports whether there is such an application identifier.
func Known(ai string) bool { return table()[ai] != nil }

// Parse reads element strings as they are written for people:
// "(01)09501101530003(10)AB-12". Values are not checked. A parenthesis within a
// value can't be told from an identifier; where values come from data, make the
// elements one by one instead.
func Parse(text string) ([]Element, error) {
	if !strings.HasPrefix(text, "(") {
		return nil, fault("", "write each element with its identifier, as in (01)09501101530003(10)AB-12",
			"it doesn't begin with an application identifier in parentheses")
	}
	var list []Element
	for rest := text; rest != ""; {
		n := identifierAt(rest)
		if n == 0 {
			return nil, fault("", "identifiers are 2 to 4 digits, as in (01)", "%q is no application identifier", upTo(rest, ")"))
		}
		ai := rest[1 : n-1]
		rest = rest[n:]
		value := rest
		for i := range rest {
			if identifierAt(rest[i:]) > 0 {
				value = rest[:i]
				break
			}
		}
		rest = rest[len(value):]
		list = append(list, Element{ai, value})
	}
	return list, nil
}

// identifierAt returns the length of "(digits)" at the front of s, or 0.
func identifierAt(s string) int {
	if s == "" || s[0] != '(' {
		return 0
	}
	for i := 1; i < len(s) && i <= 5; i++ {
		if s[i] == ')' && i >= 3 {
			return i + 1
		}
		if s[i] < '0' || s[i] > '9' {
			return 0
		}
	}
	return 0
}

func upTo(s, end string) string {
	before, _, found := strings.Cut(s, end)
	if !found {
		return s
	}
	return before + end
}

// Text returns elements as they are written for people, beneath a symbol.
func Text(list []Element) string {
	var b strings.Builder
	for _, e := range list {
		b.WriteByte('(')
		b.WriteString(e.AI)
		b.WriteByte(')')
		b.WriteString(e.Value)
	}
	return b.String()
}

// Append adds elements the way a symbol holds them: identifiers and values
// without parentheses, and the separator behind each value whose length readers
// can't know, but not behind the last (GS1 General Specifications 7.8).
func Append(dst []byte, list []Element, separator byte) []byte {
	for i, e := range list {
		dst = append(append(dst, e.AI...), e.Value...)
		if r := table()[e.AI]; i < len(list)-1 && (r == nil || !r.fixed) {
			dst = append(dst, separator)
		}
	}
	return dst
}
