package typeface

import (
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/go-text/typesetting/language"
)

// Stretches that a shaper has kept are what a new one makes of them: whatever they
// join, and however often what is kept is cleared.
func TestKeptStretchesAreTheSame(t *testing.T) {
	faces := []*Face{opened(t, "NotoSans-Regular"), opened(t, "NotoSansArabic-Regular")}
	kept := NewShaper(faces)
	for n := range 3 * mostKept {
		for _, form := range []string{"رقم القنينة %d", "رقم القنينة%d", "بيت%d بيت", "بAب%dب", "ب\u0651A", "A\u200dب %d", "Lot %d", "ببب"} {
			text := strings.ReplaceAll(form, "%d", strconv.Itoa(n))
			got, err := kept.Line([]rune(text))
			if err != nil {
				t.Fatal(err)
			}
			if n%400 > 0 && n > 3 {
				continue
			}
			if want, err := NewShaper(faces).Line([]rune(text)); err != nil || !reflect.DeepEqual(got, want) {
				t.Fatalf("%q is shaped as %+v, %v; want %+v", text, got, err, want)
			}
		}
	}
}

// Neighbours that a stretch joins differently are kept apart.
func TestNeighboursAreKeptApart(t *testing.T) {
	s := NewShaper([]*Face{opened(t, "NotoSansArabic-Regular")})
	var all []Run
	for _, text := range []string{"ب", "بب", "ب ب", "ب\u0651ب"} {
		letters := []rune(text)
		run, err := s.shape(letters, stretch{0, 1, 1, language.Arabic, 0})
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, run)
	}
	if reflect.DeepEqual(all[0], all[1]) || !reflect.DeepEqual(all[0], all[2]) || !reflect.DeepEqual(all[1], all[3]) {
		t.Errorf("a letter alone, before a letter, a space and a mark with a letter is %+v", all)
	}
}

// Numbers are cut alike only where no face has some digits and not the others.
func TestTextsAreCutAlike(t *testing.T) {
	s := NewShaper([]*Face{opened(t, "NotoSans-Regular")})
	form := func(text string) string { return string(s.form(nil, []rune(text))) }
	if form("Lot 12") != form("Lot 98") || form("Lot 12") == form("Lot 123") || form("1a") == form("a1") || form("٣") == form("3") {
		t.Errorf("forms are %q, %q, %q, %q", form("Lot 12"), form("Lot 98"), form("Lot 123"), form("٣"))
	}
	if s.alike = false; form("1") == form("2") {
		t.Error("digits are alike though a face lacks one")
	}
}
