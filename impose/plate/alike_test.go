package plate

import (
	"context"
	"fmt"
	"image/png"
	"os"
	"testing"
)

// TestCompare compares labels that differ in one word of small text.
func TestCompare(t *testing.T) {
	const font = "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >> >>"
	label := func(strength string) drawing {
		return drawing{resources: font, content: "1 .3 0 0 k 0 40 72 32 re f 0 0 0 1 k BT /F 9 Tf 6 52 Td (Tablets) Tj 0 -30 Td (" + strength + ") Tj ET /Red cs .6 scn 50 6 16 16 re f"}
	}
	path := book(t, []drawing{label("5 mg"), label("50 mg"), label("5 mg"), {content: "0 0 1 0 k 0 0 72 72 re f"}})
	r := renderer(t)
	compare := func(a, b int) *Likeness {
		l, err := Compare(context.Background(), r, opened(t, path, a), opened(t, path, b))
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	l := compare(1, 2)
	if !l.Alike() || l.Picture == nil {
		t.Fatalf("labels of 5 mg and 50 mg: %+v", l)
	}
	// The baseline stands 22 points from below, 50 from above: 17.6 mm.
	if at := l.Place; at.Max.Around.MM() < 16 || at.Max.Around.MM() > 19 || at.Min.Across.MM() < 2 || at.Max.Across.MM() > 14 {
		t.Errorf("they differ at %v", at)
	}
	if name := os.Getenv("PICTURE"); name != "" {
		f, err := os.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if err := png.Encode(f, l.Picture); err != nil {
			t.Fatal(err)
		}
	}
	if l := compare(1, 3); l.Percent != 0 || l.Picture != nil || l.Alike() {
		t.Errorf("the same label differs from itself: %+v", l)
	}
	if l := compare(1, 4); l.Percent < 80 || l.Alike() {
		t.Errorf("other labels differ in %v %%", l.Percent)
	}
}

// TestSmallPrintIsCompared compares labels that differ in one digit of small print, as
// in the strength of a drug: no pixel of the plates is unlike all around it.
func TestSmallPrintIsCompared(t *testing.T) {
	const font = "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>"
	label := func(size float64, digit string) drawing {
		return drawing{resources: font, content: fmt.Sprintf(".1 0 .2 0 k 0 0 72 72 re f 0 0 0 1 k BT /F %g Tf 6 30 Td (holds %s mg) Tj ET", size, digit)}
	}
	r := renderer(t)
	for _, size := range []float64{4, 5, 6, 8} {
		for _, digits := range []string{"17", "38", "68", "08", "56", "09"} {
			path := book(t, []drawing{label(size, digits[:1]), label(size, digits[1:])})
			l, err := Compare(t.Context(), r, opened(t, path, 1), opened(t, path, 2))
			if err != nil {
				t.Fatal(err)
			}
			if !l.Alike() || l.Picture == nil {
				t.Errorf("%s at %g points: %+v", digits, size, l)
				continue
			}
			// The digit stands on the line at 42 points from above, behind "holds ".
			if at := l.Place; at.Min.Around.Points() < 42-size-1 || at.Max.Around.Points() > 43 || at.Min.Across.Points() < 6+size || at.Max.Across.Points() > 10+4*size {
				t.Errorf("%s at %g points differ at %v", digits, size, at)
			}
		}
	}
}
