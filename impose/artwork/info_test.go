package artwork

import (
	"testing"
	"time"
)

// The forms of ISO 32000-1 7.9.4, and ones that real writers use.
func TestDates(t *testing.T) {
	want := time.Date(2026, 3, 1, 9, 30, 5, 0, time.UTC)
	for _, s := range []string{"D:20260301103005+01'00'", "D:20260301103005+01'00", "D:20260301093005Z", "D:20260301093005Z00'00'", "20260301093005", "D:20260301103005+01"} {
		if got, ok := parseDate(s); !ok || !got.Equal(want) {
			t.Errorf("%s: %v, %v", s, got, ok)
		}
	}
	if got, ok := parseDate("D:2026"); !ok || got.Year() != 2026 {
		t.Errorf("the year alone: %v, %v", got, ok)
	}
	for _, s := range []string{"", "D:", "yesterday", "D:20261301"} {
		if got, ok := parseDate(s); ok {
			t.Errorf("%q gives %v", s, got)
		}
	}
}
