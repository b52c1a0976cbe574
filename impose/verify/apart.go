package verify

import (
	"math"

	"quoin/geometry/apart"
	"quoin/impose/say"
)

// Cut is the label's outline, which the summary has where it is no rectangle.
type Cut struct {
	RingsMM [][][2]float64 `json:"rings_mm"` // of the upright label, its box at the origin
}

// Lengths in nanometres.
const (
	nmPerMM = 1e6
	nmPerPt = 25.4 / 72 * nmPerMM
	// chords is how deep labels may seem to lie in each other, or how much nearer
	// than they are to stand: the rings' chords stray by a micrometre on each
	// side, and places are rounded.
	chords = 2_500
)

// overlap proves that no label lies on another, on the frame or across its seam,
// that they keep the least of the gaps, and that the matrix is not negative. It
// goes by the stations and the outline of the summary, which the rest of the
// verification proves to be those of the file.
func (c *check) overlap() {
	l := c.plan.Layout
	if l.MatrixPercent < 0 {
		c.differs(LabelsOverlap, "", "the matrix is %s %% of the web: labels lie on each other", say.Exact(l.MatrixPercent))
	}
	labels, ok := c.labels()
	if !ok || len(labels) == 0 || l.RepeatMM <= 0 {
		return
	}
	gap := min(l.GapAcrossMM, l.GapAroundMM) * nmPerMM
	least := apart.Measure(labels, l.RepeatMM*nmPerMM, gap+nmPerMM)
	a, b := c.plan.Stations[least.A], c.plan.Stations[least.B]
	where := ""
	if least.Next {
		where = " of the next frame"
	}
	switch {
	case least.Depth > chords:
		c.differs(LabelsOverlap, "", "lane %d, row %d lies on lane %d, row %d%s, by %s mm2, %s mm deep",
			a.Lane, a.Row, b.Lane, b.Row, where, say.Rough(least.Area/nmPerMM/nmPerMM, 4), say.Fixed(least.Depth/nmPerMM, 3))
	case least.Distance < gap-chords:
		c.differs(LabelsNear, "", "lane %d, row %d is %s mm from lane %d, row %d%s, not %s mm",
			a.Lane, a.Row, say.Fixed(least.Distance/nmPerMM, 3), b.Lane, b.Row, where, say.Fixed(gap/nmPerMM, 3))
	}
}

// labels returns the labels as they stand, across and around in nanometres. It
// tells where the outline is not that of the stations.
func (c *check) labels() (labels []apart.Placed, ok bool) {
	type shape struct {
		turn          int
		width, height float64
	}
	made := map[shape]*apart.Shape{}
	height := c.plan.Written.SizePt[1]
	nm := func(pt float64) float64 { return math.Round(pt * nmPerPt) }
	for _, s := range c.plan.Stations[:c.plan.onFrame] {
		k := shape{((s.TurnDeg % 360) + 360) % 360, nm(s.TrimPt[2] - s.TrimPt[0]), nm(s.TrimPt[3] - s.TrimPt[1])}
		if made[k] == nil {
			rings := [][]apart.Point{{{}, {X: k.width}, {X: k.width, Y: k.height}, {Y: k.height}}}
			if c.plan.Cut != nil {
				var size apart.Point
				if rings, size = c.plan.Cut.turned(k.turn); math.Abs(size.X-k.width) > chords || math.Abs(size.Y-k.height) > chords {
					c.differs(LabelShape, "", "the outline of %s x %s mm is not the label of lane %d, row %d, %s x %s mm",
						say.Fixed(size.X/nmPerMM, 3), say.Fixed(size.Y/nmPerMM, 3), s.Lane, s.Row, say.Fixed(k.width/nmPerMM, 3), say.Fixed(k.height/nmPerMM, 3))
					return nil, false
				}
			}
			made[k] = apart.New(rings...)
		}
		labels = append(labels, apart.Placed{Shape: made[k], By: apart.Point{X: nm(s.TrimPt[0]), Y: nm(height - s.TrimPt[3])}})
	}
	return labels, true
}

// turned returns the rings turned counter-clockwise, their box at the origin, and
// its size. Around grows downwards.
func (cut *Cut) turned(degrees int) (rings [][]apart.Point, size apart.Point) {
	lo, hi := apart.Point{X: math.Inf(1), Y: math.Inf(1)}, apart.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, ring := range cut.RingsMM {
		var out []apart.Point
		for _, p := range ring {
			x, y := math.Round(p[0]*nmPerMM), math.Round(p[1]*nmPerMM)
			for range degrees / 90 {
				x, y = y, -x
			}
			out = append(out, apart.Point{X: x, Y: y})
			lo = apart.Point{X: min(lo.X, x), Y: min(lo.Y, y)}
			hi = apart.Point{X: max(hi.X, x), Y: max(hi.Y, y)}
		}
		rings = append(rings, out)
	}
	for _, ring := range rings {
		for i := range ring {
			ring[i].X -= lo.X
			ring[i].Y -= lo.Y
		}
	}
	return rings, apart.Point{X: hi.X - lo.X, Y: hi.Y - lo.Y}
}
