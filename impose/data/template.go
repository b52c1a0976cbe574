package data

import (
	"fmt"
	"slices"
	"strings"
)

// Template is text with the values of a record in it: "Lot {lot}, {serial}".
// A brace itself is written twice.
type Template struct {
	parts []part
}

// part is some text, and the value behind it; -1 for none.
type part struct {
	text  string
	value int
}

// ParseTemplate reads a template over the values of these names.
func ParseTemplate(text string, names []string) (*Template, error) {
	t := &Template{}
	var b strings.Builder
	for rest := text; rest != ""; {
		i := strings.IndexAny(rest, "{}")
		if i < 0 {
			b.WriteString(rest)
			break
		}
		b.WriteString(rest[:i])
		brace := rest[i]
		rest = rest[i+1:]
		if rest != "" && rest[0] == brace {
			b.WriteByte(brace)
			rest = rest[1:]
			continue
		}
		name, behind, closed := strings.Cut(rest, "}")
		if brace == '}' || !closed {
			return nil, &Fault{Err: fmt.Errorf("%q has a single brace", text), Way: "write a value as {name}, and a brace itself twice"}
		}
		value := slices.Index(names, strings.TrimSpace(name))
		if value < 0 {
			return nil, &Fault{Err: fmt.Errorf("%q asks for {%s}, and no value has that name", text, name), Way: fmt.Sprintf("the names are %q", names)}
		}
		t.parts = append(t.parts, part{b.String(), value})
		b.Reset()
		rest = behind
	}
	if b.Len() > 0 || len(t.parts) == 0 {
		t.parts = append(t.parts, part{b.String(), -1})
	}
	return t, nil
}

// Fixed reports whether the text is the same for all records.
func (t *Template) Fixed() bool {
	return !slices.ContainsFunc(t.parts, func(p part) bool { return p.value >= 0 })
}

// Values returns which of the names' values the text holds.
func (t *Template) Values() (list []int) {
	for _, p := range t.parts {
		if p.value >= 0 && !slices.Contains(list, p.value) {
			list = append(list, p.value)
		}
	}
	return list
}

// Append adds the text of a record with these values.
func (t *Template) Append(dst []byte, values []string) []byte {
	for _, p := range t.parts {
		dst = append(dst, p.text...)
		if p.value >= 0 {
			dst = append(dst, values[p.value]...)
		}
	}
	return dst
}
