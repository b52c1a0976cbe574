package geometry

import (
	"fmt"
	"strconv"
	"strings"
)

// Chart is a published numbering of the eight windings. Both say face out with
// 1 to 4 and face in with 5 to 8, head or foot first with 1, 2, 5 and 6, a side
// first with the others; but each number means the opposite edge. The names are
// ours and say what number 1 means.
type Chart uint8

// The charts. No chart of a trade association could be read.
const (
	// TopFirst is the chart of blog.lightninglabels.com (US, 2006, 1 to 4 only),
	// amlabels-manufacturing.co.uk/label-roll.html (UK), labelprintingchina.com
	// (unwind directions guide) and, for 1, mrlabelco.com (US).
	TopFirst Chart = iota + 1
	// BottomFirst is the chart of wctlabel.com/unwind-directions (North America).
	BottomFirst
)

var charts = map[Chart]struct {
	name  string
	order [4]Leading
}{
	TopFirst:    {"top-first", [4]Leading{TopLeads, BottomLeads, RightLeads, LeftLeads}},
	BottomFirst: {"bottom-first", [4]Leading{BottomLeads, TopLeads, LeftLeads, RightLeads}},
}

// String returns the chart's name.
func (c Chart) String() string { return charts[c].name }

// Winding returns what the number from 1 to 8 means on the chart.
func (c Chart) Winding(number int) (Winding, error) {
	chart, ok := charts[c]
	if !ok {
		return Winding{}, &hintError{"the chart is not said", windingHint}
	}
	if number < 1 || number > 8 {
		return Winding{}, &hintError{fmt.Sprintf("the %s chart has no number %d", c, number), "its numbers are 1 to 8"}
	}
	face := FaceOut
	if number > 4 {
		face = FaceIn
	}
	return Winding{face, chart.order[(number-1)%4]}, nil
}

// ParseWinding reads what Winding.String writes in any order, with head and
// foot for top and bottom, or a number with its chart: "face out, top leads",
// "in left", "top-first 3". A number alone is refused, and the hint says what
// each chart makes of it.
func ParseWinding(text string) (Winding, error) {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ' ' || r == ',' || r == '\t' })
	var w Winding
	var chart Chart
	number := 0
	for _, word := range words {
		face, leading, named := windingWord(word)
		n, err := strconv.Atoi(strings.TrimPrefix(word, "#"))
		switch {
		case face != 0 && w.Face == 0:
			w.Face = face
		case leading != 0 && w.Leading == 0:
			w.Leading = leading
		case named != 0 && chart == 0:
			chart = named
		case err == nil && number == 0:
			number = n
		case word == "face" || word == "leads" || word == "edge":
		default:
			return Winding{}, &NotationError{text, "is not a winding", windingHint}
		}
	}
	switch {
	case number != 0 && w != Winding{}:
		return Winding{}, &NotationError{text, "says a winding twice, as words and as a number", windingHint}
	case number != 0 && chart == 0:
		return Winding{}, &NotationError{text, "is a number without its chart", bothReadings(number)}
	case number != 0:
		w, err := chart.Winding(number)
		if err != nil {
			return w, &NotationError{text, "is not on the chart", "its numbers are 1 to 8"}
		}
		return w, nil
	case chart != 0 || w.Check() != nil:
		return Winding{}, &NotationError{text, "is not a winding", windingHint}
	}
	return w, nil
}

// windingWord reads one word; what it doesn't say stays 0.
func windingWord(word string) (Face, Leading, Chart) {
	switch word {
	case "out":
		return FaceOut, 0, 0
	case "in":
		return FaceIn, 0, 0
	case "top", "head":
		return 0, TopLeads, 0
	case "bottom", "foot":
		return 0, BottomLeads, 0
	case "left":
		return 0, LeftLeads, 0
	case "right":
		return 0, RightLeads, 0
	case TopFirst.String():
		return 0, 0, TopFirst
	case BottomFirst.String():
		return 0, 0, BottomFirst
	}
	return 0, 0, 0
}

// bothReadings says what each chart makes of a number.
func bothReadings(number int) string {
	a, err := TopFirst.Winding(number)
	if err != nil {
		return windingHint
	}
	b, _ := BottomFirst.Winding(number)
	return fmt.Sprintf("published charts disagree: %d is %q on one and %q on another; write the words, or %q or %q",
		number, a, b, fmt.Sprintf("%s %d", TopFirst, number), fmt.Sprintf("%s %d", BottomFirst, number))
}

// MarshalText writes the words that ParseWinding reads back.
func (w Winding) MarshalText() ([]byte, error) {
	if err := w.Check(); err != nil {
		return nil, err
	}
	return []byte(w.String()), nil
}

// UnmarshalText reads what ParseWinding reads.
func (w *Winding) UnmarshalText(text []byte) (err error) {
	*w, err = ParseWinding(string(text))
	return err
}
