package artwork

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
)

// TestPathsTogetherCountAsSingly scans paths that the scanner gives together, and again
// with a comment behind each token, where it gives each operator by itself.
func TestPathsTogetherCountAsSingly(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 5))
	choose := func(from ...string) string { return from[random.IntN(len(from))] }
	for range 60 {
		var tokens []string
		for range 120 {
			text := choose("1 0 0 1 5 -3 cm", "0 1 -1 0 60 0 cm", ".8 .6 -.6 .8 0 0 cm", "-1 0 0 .5 90 0 cm", "q", "q", "Q", "Q", "/Cut CS 1 SCN", "/Cut cs 1 scn",
				"/Fold cs 1 scn", "0 .5 .9 0 k", "0 G", ".1 w", "2 w", "/OC /Kiss BDC", "/OC /Off BDC", "EMC", "h", "W n", "W* n", "0 0 m", "20 20 30 9 re", "f", "f*", "S", "B*", "b", "s", "n")
			if random.IntN(2) == 0 {
				text = ""
				for range 1 + random.IntN(5) {
					step := choose("m", "l", "l", "c", "v", "y")
					for range map[string]int{"m": 2, "l": 2, "c": 6, "v": 4, "y": 4}[step] {
						text += fmt.Sprintf("%.*f ", random.IntN(4), random.Float64()*100-5)
					}
					text += step + " "
				}
				text += choose("", "h f", "f", "S", "h S", "W n")
			}
			tokens = append(tokens, strings.Fields(text)...)
		}
		var pages [2]*Page
		for i, between := range []string{" ", " %\n"} {
			pages[i] = open(t, cutPage(t, "", strings.Join(tokens, between)+between), Options{})
		}
		a, b := pages[0], pages[1]
		for i, f := range a.Findings {
			if i < len(b.Findings) && f.Text != b.Findings[i].Text {
				t.Fatalf("%s: %s, want %s", strings.Join(tokens, " "), f.Text, b.Findings[i].Text)
			}
		}
		cut, fault := a.DieLine()
		wantCut, wantFault := b.DieLine()
		if !reflect.DeepEqual(a.Inks, b.Inks) || !reflect.DeepEqual(a.Alone, b.Alone) || !reflect.DeepEqual(a.Details, b.Details) ||
			len(a.Findings) != len(b.Findings) || !reflect.DeepEqual(cut, wantCut) || fmt.Sprint(fault) != fmt.Sprint(wantFault) {
			t.Fatalf("%s:\n%+v %v %v %+v %v\nwant\n%+v %v %v %+v %v", strings.Join(tokens, " "), a.Inks, a.Alone, a.Details, cut, fault, b.Inks, b.Alone, b.Details, wantCut, wantFault)
		}
	}
}
