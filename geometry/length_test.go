package geometry

import (
	"errors"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The inch is 25.4 mm by the international agreement of 1959; the point is
// 1/72 inch, ISO 32000-1 8.3.2.3.
func TestParseLength(t *testing.T) {
	for text, want := range map[string]Length{
		"3mm":        3 * Millimetre,
		" 3 mm ":     3 * Millimetre,
		"3.175mm":    3_175_000,
		".5mm":       500_000,
		"5.mm":       5 * Millimetre,
		"12.5 um":    12_500,
		"12.5µm":     12_500, // micro sign
		"12.5μm":     12_500, // Greek mu
		"2.5cm":      25 * Millimetre,
		"1.303021m":  1_303_021_000,
		"1in":        25_400_000,
		"0.125in":    3_175_000,
		"1/8in":      3_175_000,
		"1 1/8in":    28_575_000,
		"1/64 in":    396_875,
		"010/80in":   3_175_000, // leading zeros don't make it octal
		"72pt":       Inch,
		"1pt":        352_778, // 352,777.7... nm
		"-2pt":       -705_556,
		"-1 1/2in":   -38_100_000,
		"+1mm":       Millimetre,
		"0mm":        0,
		"0.0000004m": 400,
		// A binary fraction would miss each of these.
		"0.1mm": 100_000, "0.7mm": 700_000, "1.1in": 27_940_000,
		"10000000m": 10_000_000 * Metre,
	} {
		if got, err := ParseLength(text); err != nil || got != want {
			t.Errorf("%q: got %d nm, %v; want %d nm", text, got, err, want)
		}
	}
}

func TestParseLengthRefuses(t *testing.T) {
	for text, want := range map[string]struct{ why, way string }{
		"3":             {"has no unit", "unit behind the number"},
		"3.5":           {"has no unit", "unit behind the number"},
		"1 1/8":         {"has no unit", "unit behind the number"},
		"":              {"is not a length", "unit"},
		"mm":            {"is not a length", "unit"},
		"x":             {"is not a length", "unit"},
		"3 furlongs":    {`has the unknown unit "furlongs"`, "mm, cm, m, in"},
		"3MM":           {`has the unknown unit "MM"`, "mm, cm, m, in"},
		"1e3mm":         {"is not a length", "unit"},
		"0x10mm":        {"is not a length", "unit"},
		"1_000mm":       {"is not a length", "unit"},
		"3,175mm":       {"is not a length", "point, not a comma"},
		"1/0in":         {"is not a length", "unit"},
		"1/2/3in":       {"is not a length", "unit"},
		"1 2mm":         {"is not a length", "unit"},
		"1/2 1in":       {"is not a length", "unit"},
		"1.5 1/2in":     {"is not a length", "unit"},
		"--1mm":         {"is not a length", "unit"},
		"-+1mm":         {"is not a length", "unit"},
		"1.2.3mm":       {"is not a length", "unit"},
		"10000001m":     {"is longer than any web", "10,000,000 m"},
		"-10000001m":    {"is longer than any web", "10,000,000 m"},
		"9" + nines(39): {"has no unit", "unit"},
		"9" + nines(40): {"is not a length", "unit"},
	} {
		l, err := ParseLength(text)
		var e *NotationError
		if !errors.As(err, &e) {
			t.Errorf("%q: got %v, %v; want a NotationError", text, l, err)
			continue
		}
		if e.Text != text || e.Why != want.why || !strings.Contains(e.Hint(), want.way) {
			t.Errorf("%q: got %v, hint %q; want %q, hint with %q", text, err, e.Hint(), want.why, want.way)
		}
	}
}

func nines(n int) string { return strings.Repeat("9", n) }

func TestLengthPrints(t *testing.T) {
	for l, want := range map[Length]string{
		0: "0 mm", 1: "0.000001 mm", -1: "-0.000001 mm", 3_175_000: "3.175 mm",
		50 * Millimetre: "50 mm", Inch / 64: "0.397 mm", -Inch / 64: "-0.397 mm", 1500: "0.002 mm", 999: "0.000999 mm", 59_999_999: "60 mm", -1_500_000: "-1.5 mm", 10 * Metre: "10000 mm",
		1<<63 - 1: "9223372036854.775807 mm", -1 << 63: "-9223372036854.775808 mm",
	} {
		if got := l.String(); got != want {
			t.Errorf("%d nm prints as %q, want %q", int64(l), got, want)
		}
	}
}

func TestLengthConverts(t *testing.T) {
	if got := (254 * Millimetre).Points(); got != 720 {
		t.Errorf("254 mm are %v pt, want 720", got)
	}
	// 750 mm is 2125.98425197 pt in a sample of the public XJDF schema.
	if got := (750 * Millimetre).Points(); math.Abs(got-2125.98425197) > 1e-8 {
		t.Errorf("750 mm are %v pt, want 2125.98425197", got)
	}
	if got := FromMM(-0.0000015); got != -2 {
		t.Errorf("-1.5 nm round to %d, want -2: halves go away from zero", int64(got))
	}
	if got := (1_303_020_900 * Micrometre).Metres(); got != 1303.0209 {
		t.Errorf("got %v m", got)
	}
}

// anyLength draws what text may say.
func anyLength() *rapid.Generator[Length] {
	return rapid.Custom(func(t *rapid.T) Length {
		return Length(rapid.Int64Range(-int64(longest), int64(longest)).Draw(t, "nm"))
	})
}

func TestLengthRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLength().Draw(t, "length")
		text, err := l.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var back Length
		if err := back.UnmarshalText(text); err != nil || back != l {
			t.Fatalf("%d nm came back from %s as %d nm, %v", int64(l), text, int64(back), err)
		}
		if spaced, err := ParseLength(l.Digits() + " mm"); err != nil || spaced != l {
			t.Fatalf("%d nm came back from %q as %d nm, %v", int64(l), l.Digits(), int64(spaced), err)
		}
		if read, err := ParseLength(l.String()); err != nil || max(read-l, l-read) > Micrometre/2 || (l == 0) != (read == 0) {
			t.Fatalf("%d nm are read as %q", int64(l), l)
		}
		if up, down := l.up(), l.down(); up < l || down > l || up-down > Micrometre || up%Micrometre != 0 || down%Micrometre != 0 {
			t.Fatalf("%d nm lie between %d and %d", int64(l), int64(down), int64(up))
		}
		if trimmed := strings.TrimRight(l.Digits(), "0"); strings.Contains(trimmed, ".") && trimmed != l.Digits() {
			t.Fatalf("%s has zeros to spare", l.Digits())
		}
	})
}

// Every fraction of an inch is the exact quotient to the nearest nanometre.
func TestParseLengthFractions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.Int64Range(0, 1000).Draw(t, "whole")
		above := rapid.Int64Range(0, 10_000).Draw(t, "above")
		below := rapid.Int64Range(1, 10_000).Draw(t, "below")
		text := big.NewInt(whole).String() + " " + big.NewRat(above, 1).Num().String() + "/" + big.NewInt(below).String() + "in"
		got, err := ParseLength(text)
		if err != nil {
			t.Fatal(err)
		}
		// |got - exact| <= 1/2, in whole numbers.
		exact := (whole*below + above) * int64(Inch)
		if off := 2 * (int64(got)*below - exact); off > below || off < -below {
			t.Fatalf("%q read as %d nm, more than half a nanometre off", text, int64(got))
		}
	})
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"3mm", "0.125in", "1 1/8in", "-1/3pt", "12.5µm", "010/8in", "3", "1e9m", "9999999m", "1/0mm", "5 0mm", ".mm"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := ParseLength(s)
		if err != nil {
			var e *NotationError
			if !errors.As(err, &e) || e.Hint() == "" {
				t.Fatalf("%q: the error %v gives no way out", s, err)
			}
			return
		}
		if l > longest || l < -longest {
			t.Fatalf("%q gives %d nm, beyond the limit", s, int64(l))
		}
		if back, err := ParseLength(l.Digits() + "mm"); err != nil || back != l {
			t.Fatalf("%q gives %v, which reads back as %v, %v", s, l, back, err)
		}
	})
}
