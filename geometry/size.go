package geometry

import "strings"

// Size is an extent across and around the web.
type Size struct{ Across, Around Length }

// Area returns across times around in square millimetres.
func (s Size) Area() float64 { return s.Across.MM() * s.Around.MM() }

// Turned returns the extent after the turn.
func (s Size) Turned(t Turn) Size {
	if t.Swaps() {
		return Size{s.Around, s.Across}
	}
	return s
}

// String returns "50 x 75 mm", across first.
func (s Size) String() string { return s.Across.rounded().Digits() + " x " + s.Around.String() }

// ParseSize reads "50x75mm" or "2in x 3 1/2in": across, then around. A unit
// behind the second number serves both.
func ParseSize(text string) (Size, error) {
	const hint = "write across x around with a unit, as in 50x75mm or 2in x 3in"
	a, b, ok := strings.Cut(strings.ReplaceAll(text, "×", "x"), "x")
	if !ok {
		return Size{}, &NotationError{text, "is not a size", hint}
	}
	a, b = strings.TrimSpace(a), strings.TrimSpace(b)
	around, err := ParseLength(b)
	if err != nil {
		return Size{}, sizeError(text, err, hint)
	}
	if _, unit := splitUnit(a); unit == "" {
		_, unit = splitUnit(b)
		a += unit
	}
	across, err := ParseLength(a)
	if err != nil {
		return Size{}, sizeError(text, err, hint)
	}
	return Size{across, around}, nil
}

// sizeError names the whole size, not only the half that is wrong.
func sizeError(text string, err error, hint string) error {
	why := "is not a size"
	if e, ok := err.(*NotationError); ok && e.Why != "is not a length" {
		why = e.Why
	}
	return &NotationError{text, why, numberHint(text, hint)}
}

// MarshalText writes the size as text that ParseSize reads back exactly.
func (s Size) MarshalText() ([]byte, error) {
	return []byte(s.Across.Digits() + "x" + s.Around.Digits() + "mm"), nil
}

// UnmarshalText reads what ParseSize reads.
func (s *Size) UnmarshalText(text []byte) (err error) {
	*s, err = ParseSize(string(text))
	return err
}
