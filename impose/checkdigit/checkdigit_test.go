package checkdigit_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"quoin/impose/checkdigit"
	"quoin/impose/say"
)

// TV-B1 is GS1's own worked number (from memory, recomputed by hand: sum 57);
// the others are calculated by hand with the weights of GS1 General
// Specifications 7.9: sums 47, 58, 97, 132, 86.
func TestGS1(t *testing.T) {
	for data, want := range map[string]string{
		"629104150021":      "6291041500213",
		"950110153000":      "9501101530003",
		"03600029145":       "036000291452",
		"1540014128876":     "15400141288763",
		"10614141234567890": "106141412345678908",
		"9638507":           "96385074",
	} {
		got, err := checkdigit.GS1.Append(data)
		if err != nil || got != want {
			t.Errorf("%s: %s, %v; want %s", data, got, err, want)
		}
		if err := checkdigit.GS1.Verify(want); err != nil {
			t.Error(err)
		}
	}
}

// 7992739871 with check digit 3 is the example that most texts on the formula
// of ISO/IEC 7812-1 use (from memory; recomputed: sum 67).
func TestLuhn(t *testing.T) {
	if got, err := checkdigit.Luhn.Append("7992739871"); err != nil || got != "79927398713" {
		t.Errorf("%s, %v", got, err)
	}
}

func TestWrongDigitIsNamed(t *testing.T) {
	err := checkdigit.GS1.Verify("9501101530008")
	if err == nil || !strings.Contains(err.Error(), "the check digit 8, but its digits give 3") || say.Hint(err) == "" {
		t.Fatalf("%v", err)
	}
	for _, bad := range []string{"", "12A4", "１２"} {
		if err := checkdigit.GS1.Verify(bad); err == nil {
			t.Errorf("%q passed", bad)
		}
	}
	if _, err := checkdigit.Scheme("mod 7").Digit("1"); err == nil || !strings.Contains(err.Error(), "mod 7") {
		t.Errorf("an unknown scheme: %v", err)
	}
}

// Every single wrong digit is noticed, by either scheme.
func TestOneWrongDigitIsNoticed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(checkdigit.Schemes()).Draw(t, "scheme")
		number, err := s.Append(rapid.StringMatching(`[0-9]{1,20}`).Draw(t, "data"))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Verify(number); err != nil {
			t.Fatal(err)
		}
		i := rapid.IntRange(0, len(number)-1).Draw(t, "place")
		b := []byte(number)
		b[i] = '0' + (b[i]-'0'+byte(rapid.IntRange(1, 9).Draw(t, "by")))%10
		if s.Verify(string(b)) == nil {
			t.Fatalf("%s for %s passed", b, number)
		}
	})
}
