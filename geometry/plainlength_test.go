package geometry

import (
	"testing"

	"pgregory.net/rapid"
)

// The short way never gives another length than the exact one.
func TestPlainLengthsAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.StringMatching(`[0-9]{0,9}(\.[0-9]{0,7})?`).Draw(t, "number")
		unit := rapid.SampledFrom([]string{"um", "mm", "cm", "m", "in", "pt", "km", ""}).Draw(t, "unit")
		got, ok := parsePlain(number, unit)
		if !ok {
			return
		}
		value, isNumber := parseNumber(number)
		if !isNumber {
			t.Fatalf("%q is no number", number)
		}
		want, err := scaled(number+unit, value, unitNanometres[unit])
		if err != nil || got != want {
			t.Fatalf("%s%s is %d nm, %v; got %d nm", number, unit, want, err, got)
		}
	})
}

func TestPlainLengthsTakeWhatIsUsual(t *testing.T) {
	for _, s := range []string{"50", "3.175", "0.125", "304.8", "1000000"} {
		if _, ok := parsePlain(s, "mm"); !ok {
			t.Errorf("%s mm takes the long way", s)
		}
	}
}

func BenchmarkParseLength(b *testing.B) {
	for _, text := range []string{"3.175mm", "1/8in"} {
		b.Run(text, func(b *testing.B) {
			for b.Loop() {
				if _, err := ParseLength(text); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
