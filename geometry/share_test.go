package geometry

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseShare(t *testing.T) {
	for text, want := range map[string]Share{
		"3%": 3 * Percent, "2.5 %": 25_000_000, " 0% ": 0, "100%": Whole, "0.0000001%": 1, "1/3%": 3_333_333,
	} {
		if got, err := ParseShare(text); err != nil || got != want {
			t.Errorf("%q: got %d, %v; want %d", text, got, err, want)
		}
	}
	for text, why := range map[string]string{
		"3": "is not a percentage", "": "is not a percentage", "%": "is not a percentage", "x%": "is not a percentage",
		"0.03": "is not a percentage", "3%%": "is not a percentage", "10001%": "is more than hundredfold",
	} {
		s, err := ParseShare(text)
		var e *NotationError
		if !errors.As(err, &e) || e.Why != why || !strings.Contains(e.Hint(), "3%") {
			t.Errorf("%q: got %v, %v; want %q and a hint", text, s, err, why)
		}
	}
}

// In floating point 5 % of 100,000 can come out as 5,000.000000000001, and
// rounding that up orders one label too many.
func TestShareIsExact(t *testing.T) {
	for _, c := range []struct {
		share   Share
		n, want int64
	}{
		{5 * Percent, 100_000, 105_000},
		{0, 7, 7},
		{3 * Percent, 1, 2}, // 1.03 labels: the part is one more
		{3 * Percent, 100, 103},
		{3 * Percent, 101, 105}, // 104.03
		{Percent / 10, 1000, 1001},
		{Whole, 12, 24},
		{-5 * Percent, 10, 10}, // 9.5
		{10 * Percent, 1_000_000_000_000, 1_100_000_000_000},
	} {
		if got := c.share.More(c.n); got != c.want {
			t.Errorf("%v more than %d is %d, want %d", c.share, c.n, got, c.want)
		}
	}
	// The net web of the worked job of run_test.go with 3 %.
	if got := (3 * Percent).MoreLength(1_303_020_900 * Micrometre); got != 1_342_111_527_000 {
		t.Errorf("got %d nm", int64(got))
	}
	if got := (5 * Percent / 10).MoreLength(100); got != 101 { // 100.5 nm
		t.Errorf("got %d nm, want halves rounded up", int64(got))
	}
}

func TestShareRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Share(rapid.Int64Range(-int64(mostShare), int64(mostShare)).Draw(t, "share"))
		text, err := s.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var back Share
		if err := back.UnmarshalText(text); err != nil || back != s {
			t.Fatalf("%d came back from %s as %d, %v", s, text, back, err)
		}
	})
}

// More is the least whole number that is not below the exact product.
func TestShareMoreIsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Share(rapid.Int64Range(0, int64(Whole)).Draw(t, "share"))
		n := rapid.Int64Range(0, 4_000_000_000).Draw(t, "n")
		extra, exact := s.More(n)-n, n*int64(s) // below 4e18
		if extra*int64(Whole) < exact || (extra-1)*int64(Whole) >= exact {
			t.Fatalf("%v of %d is not %d", s, n, extra)
		}
	})
}
