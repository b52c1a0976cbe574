package plate

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/artwork"
	"quoin/impose/witness"
)

// witnessDPI gives tiffsep's plates pixels of 0.042 mm.
const witnessDPI = 600

// inked tells, pixel by pixel and from the page's bottom left corner in points,
// what tiffsep painted.
func inked(plates map[string]*image.Gray) func(x, y float64) bool {
	return func(x, y float64) bool {
		px := int(x * witnessDPI / 72)
		for _, p := range plates {
			py := p.Rect.Max.Y - 1 - int(y*witnessDPI/72)
			if image.Pt(px, py).In(p.Rect) && p.GrayAt(px, py).Y > 13 {
				return true
			}
		}
		return false
	}
}

// TestEmptyBleedIsWhatGhostscriptPaints paints panels that end at random places
// and measures on tiffsep's plates along which part of each side ink stands
// inside the trim of labelOf and none half a millimetre outside.
func TestEmptyBleedIsWhatGhostscriptPaints(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 15))
	const mm = 72 / 25.4
	told := 0
	n := cases(t, 12)
	for range n {
		// Two panels share the label; each ends at the trim or well beyond it.
		end := func(trim, out float64) float64 {
			if random.IntN(2) == 0 {
				return trim
			}
			return out
		}
		split := 30 + 40*random.Float64()
		content := ""
		for i, c := range []string{"1 0 0 0 k", "0 1 0 0 k"} {
			from, to := end(10, 0), split
			if i == 1 {
				from, to = split, end(90, 100)
			}
			left, right := end(10, 0), end(110, 120)
			content += fmt.Sprintf("%s %.3f %.3f %.3f %.3f re f ", c, left, from, right-left, to-from)
		}
		page := labelOf(t, "", content)
		is := inked(witness.FairPlates(t, page.File.Path, witnessDPI)[0])
		empty := map[string]float64{}
		for at := 10.02; at < 90; at += .05 {
			for name, x := range map[string][2]float64{"left": {10 + .2*mm, 10 - .5*mm}, "right": {110 - .2*mm, 110 + .5*mm}} {
				if is(x[0], at) && !is(x[1], at) {
					empty[name] += .05 / mm
				}
			}
		}
		for at := 10.02; at < 110; at += .05 {
			for name, y := range map[string][2]float64{"bottom": {10 + .2*mm, 10 - .5*mm}, "top": {90 - .2*mm, 90 + .5*mm}} {
				if is(at, y[0]) && !is(at, y[1]) {
					empty[name] += .05 / mm
				}
			}
		}
		for _, text := range found(t, page, artwork.BleedEmpty, CoverageOptions{}) {
			side := strings.TrimSuffix(strings.Fields(text)[6], ":")
			got, err := strconv.ParseFloat(strings.Fields(text)[8], 64)
			if err != nil || math.Abs(got-empty[side]) > .3 {
				t.Errorf("%s: %q; tiffsep: along %.2f mm", content, text, empty[side])
			}
			delete(empty, side)
			told++
		}
		for side, length := range empty {
			if length > 1.2 {
				t.Errorf("%s: nothing is told of the %s; tiffsep: along %.2f mm", content, side, length)
			}
		}
	}
	if told < n {
		t.Errorf("%d sides were told of", told)
	}
}

// TestNearCutIsWhatGhostscriptPaints puts bars and letters at random places and
// measures on tiffsep's plates how far from the trim of labelOf the first ink is.
func TestNearCutIsWhatGhostscriptPaints(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 15))
	const mm = 72 / 25.4
	for i := range cases(t, 16) {
		x, y := 11+80*random.Float64(), 11+60*random.Float64()
		content := fmt.Sprintf("0 0 0 1 k %.3f %.3f 1.5 9 re %.3f %.3f 2 9 re f", x, y, x+4, y)
		if i%2 == 1 {
			content = fmt.Sprintf("0 0 0 1 k BT /F 9 Tf %.3f %.3f Td (HIE) Tj ET", x, y)
		}
		page := labelOf(t, "", content)
		is := inked(witness.FairPlates(t, page.File.Path, witnessDPI)[0])
		least := math.Inf(1)
		const pixel = 72.0 / witnessDPI
		for px := pixel / 2; px < 120; px += pixel {
			for py := pixel / 2; py < 100; py += pixel {
				if is(px, py) {
					least = min(least, px-10, 110-px, py-10, 90-py)
				}
			}
		}
		least /= mm
		texts := found(t, page, artwork.NearCut, CoverageOptions{FromCut: 12_000_000})
		if len(texts) != 1 {
			t.Errorf("%s: %q; tiffsep: %.3f mm", content, texts, least)
			continue
		}
		_, rest, _ := strings.Cut(texts[0], " stands ")
		got, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
		if err != nil || math.Abs(got-least) > .08 {
			t.Errorf("%s: %q; tiffsep: %.3f mm", content, texts[0], least)
		}
	}
}

// cases leaves three quarters of some cases to the long pass.
func cases(t *testing.T, n int) int { return trials.Number(t, "", n/4, n) }
