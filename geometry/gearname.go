package geometry

import (
	"fmt"
	"strings"
)

const gearHint = `write the advance of a tooth or the gear's name, as in "3.175mm CP", "1/8in CP", "32 DP" or "module 1"`

// String names the gear as a die room would: "3.175 mm CP", "32 DP" or
// "module 1".
func (g Gear) String() string {
	switch g.system {
	case diametralPitch:
		return fmt.Sprintf("%g DP", g.dp)
	case module:
		return "module " + g.pitch.Digits()
	}
	return g.pitch.Digits() + " mm CP"
}

// ParseGear reads what String writes: a circular pitch with its unit ("CP" may
// be missing), a diametral pitch before "DP", or a module in millimetres after
// "module" or "M".
func ParseGear(text string) (Gear, error) {
	g, ok := parseGear(strings.TrimSpace(text))
	if !ok || g.Check() != nil {
		return Gear{}, &NotationError{text, "is not a gear", gearHint}
	}
	return g, nil
}

func parseGear(s string) (Gear, bool) {
	if number, ok := cutSuffixFold(s, "dp"); ok {
		v, ok := parseNumber(number)
		if !ok {
			return Gear{}, false
		}
		dp, _ := v.Float64()
		return DiametralPitch(dp), true
	}
	for _, name := range []string{"module", "mod", "m"} {
		if number, ok := cutPrefixFold(s, name); ok {
			l, err := ParseLength(strings.TrimSuffix(number, "mm") + "mm")
			return Module(l), err == nil
		}
	}
	s, _ = cutSuffixFold(s, "cp")
	l, err := ParseLength(s)
	return CircularPitch(l), err == nil
}

// cutSuffixFold cuts a word off the end of s, whatever its case, and the space
// before it.
func cutSuffixFold(s, word string) (string, bool) {
	i := len(s) - len(word)
	if i < 0 || !strings.EqualFold(s[i:], word) {
		return s, false
	}
	return strings.TrimSpace(s[:i]), true
}

// cutPrefixFold cuts a word off the front of s, whatever its case, and the
// space behind it.
func cutPrefixFold(s, word string) (string, bool) {
	if len(s) < len(word) || !strings.EqualFold(s[:len(word)], word) {
		return s, false
	}
	return strings.TrimSpace(s[len(word):]), true
}

// MarshalText writes the gear as text that ParseGear reads back.
func (g Gear) MarshalText() ([]byte, error) { return []byte(g.String()), nil }

// UnmarshalText reads what ParseGear reads.
func (g *Gear) UnmarshalText(text []byte) (err error) {
	*g, err = ParseGear(string(text))
	return err
}
