package geometry

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseSize(t *testing.T) {
	for text, want := range map[string]Size{
		"50x75mm":           {50 * Millimetre, 75 * Millimetre},
		"50 x 75 mm":        {50 * Millimetre, 75 * Millimetre},
		"50×75mm":           {50 * Millimetre, 75 * Millimetre},
		"3x3.175mm":         {3 * Millimetre, 3_175_000},
		"2in x 3in":         {2 * Inch, 3 * Inch},
		"2in x 3 1/2in":     {2 * Inch, 88_900_000},
		"1 1/8 x 2in":       {28_575_000, 2 * Inch},
		"50mm x 2in":        {50 * Millimetre, 2 * Inch},
		"0x0mm":             {},
		"300000um x 0.05 m": {300 * Millimetre, 50 * Millimetre},
	} {
		if got, err := ParseSize(text); err != nil || got != want {
			t.Errorf("%q: got %v, %v; want %v", text, got, err, want)
		}
	}
}

func TestParseSizeRefuses(t *testing.T) {
	for text, why := range map[string]string{
		"50x75": "has no unit", "50mm x 75": "has no unit", "50mm": "is not a size", "": "is not a size",
		"x": "is not a size", "50x": "is not a size", "x75mm": "is not a size", "50x75x3mm": "is not a size",
		"50x75yd": `has the unknown unit "yd"`, "5 0x75mm": "is not a size",
	} {
		s, err := ParseSize(text)
		var e *NotationError
		if !errors.As(err, &e) || e.Text != text || e.Why != why || !strings.Contains(e.Hint(), "across x around") {
			t.Errorf("%q: got %v, %v; want the whole text, %q and a hint", text, s, err, why)
		}
	}
}

func TestSizeTurns(t *testing.T) {
	s := Size{50 * Millimetre, 75 * Millimetre}
	for turn, want := range map[Turn]Size{Turn0: s, Turn180: s, Turn90: {s.Around, s.Across}, Turn270: {s.Around, s.Across}} {
		if got := s.Turned(turn); got != want {
			t.Errorf("turned to %s: got %v, want %v", turn, got, want)
		}
	}
	if s.Area() != 3750 || s.String() != "50 x 75 mm" {
		t.Errorf("got %v mm2 and %q", s.Area(), s)
	}
}

func TestSizeRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Size{anyLength().Draw(t, "across"), anyLength().Draw(t, "around")}
		text, err := s.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var back Size
		if err := back.UnmarshalText(text); err != nil || back != s {
			t.Fatalf("%v came back from %s as %v, %v", s, text, back, err)
		}
		if want := strings.TrimSuffix(s.Across.String(), " mm") + " x " + s.Around.String(); s.String() != want {
			t.Fatalf("got %q, want %q", s, want)
		}
	})
}

func FuzzParseSize(f *testing.F) {
	for _, s := range []string{"50x75mm", "2in x 3 1/2in", "1 1/8 x 2in", "50×75mm", "50x75", "5 0x75mm", "xmm", "-1x-1mm", "50mmx"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSize(text)
		if err != nil {
			var e *NotationError
			if !errors.As(err, &e) || e.Hint() == "" {
				t.Fatalf("%q: the error %v gives no way out", text, err)
			}
			return
		}
		if back, err := ParseSize(s.String()); err != nil || back != s {
			t.Fatalf("%q gives %v, which reads back as %v, %v", text, s, back, err)
		}
	})
}
