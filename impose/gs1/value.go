package gs1

import (
	"fmt"
	"unicode"
)

// Check checks a value against its identifier: length, characters, check
// characters, dates.
func (e Element) Check() error {
	r := table()[e.AI]
	if r == nil {
		return fault(e.AI, "look it up in the GS1 General Specifications, section 3", "no such application identifier is known")
	}
	if wrong := beyondASCII(e.Value); wrong != "" {
		return fault(e.AI, "leave it out, or use a symbol without GS1 data", "%s", wrong)
	}
	rest := e.Value
	for i, p := range r.parts {
		if p.optional && rest == "" {
			break
		}
		n := min(len(rest), p.most)
		if n < p.least || i == len(r.parts)-1 && n < len(rest) {
			return fault(e.AI, "correct the value", "%q has %d characters, not %s", e.Value, len(e.Value), r.lengths())
		}
		piece := rest[:n]
		rest = rest[n:]
		for j := range n {
			if !inSet(p.set, piece[j]) {
				return fault(e.AI, "leave it out, or use a symbol without GS1 data", "%q holds %q, which may not stand there", e.Value, piece[j])
			}
		}
		for _, c := range p.checks {
			if wrong, way := c(piece); wrong != "" {
				return fault(e.AI, way, "%s", wrong)
			}
		}
	}
	return nil
}

// beyondASCII names the first letter of a value that no character set has: there a
// byte is no character.
func beyondASCII(value string) string {
	for _, r := range value {
		if r > unicode.MaxASCII {
			return fmt.Sprintf("%q holds %q, which may not stand there", value, r)
		}
	}
	return ""
}

// lengths says how long a value may be.
func (r *rule) lengths() string {
	least, most := 0, 0
	for _, p := range r.parts {
		most += p.most
		if !p.optional {
			least += p.least
		}
	}
	if least == most {
		return fmt.Sprint(least)
	}
	return fmt.Sprintf("%d to %d", least, most)
}

// inSet reports whether a character is in a set of the GS1 General
// Specifications 7.11: digits, set 82, set 39, or base64 for addresses. The
// table is the dictionary's; the members of the sets are from memory.
func inSet(set, c byte) bool {
	letter := c >= 'A' && c <= 'Z'
	digit := c >= '0' && c <= '9'
	switch set {
	case 'N':
		return digit
	case 'Y':
		return digit || letter || c == '#' || c == '-' || c == '/'
	case 'Z':
		return digit || letter || c >= 'a' && c <= 'z' || c == '-' || c == '_' || c == '='
	}
	return place82(c) >= 0
}
