package plan

import (
	"math"
	"testing"
)

// exactBed is a way to lay the label on a press's web.
type exactBed struct {
	press       int
	web         float64
	die         string
	lanes, rows int
	repeat      float64
}

// beds lists every one: of each die as many strokes as the frame holds, and as
// many lanes as the web has room for. The lanes that are not printed cut the web
// too, 3 mm from its edge at least, unless they may cut beside it.
func (c *exactCase) beds() (out []exactBed) {
	const bleed, across, around, frame = 1.5, 3.0, 3.175, 980
	for pi, p := range exactPresses {
		for _, web := range p.webs {
			room := web - 2*4 - 2*6
			for _, d := range c.dies {
				n := d.lanes
				pitch := c.width + d.gap
				cuts := func() float64 { return float64(n+2*ceilDiv(d.lanes-n, 2))*pitch - d.gap }
				for n > 0 && (float64(n)*pitch-d.gap+2*bleed > room+1e-9 || !c.unused && n < d.lanes && cuts()+6 > web+1e-9) {
					n--
				}
				if strokes := int(frame / d.repeat); n > 0 {
					out = append(out, exactBed{pi, web, d.number, n, d.rows * strokes, d.repeat * float64(strokes)})
				}
			}
			if c.dies != nil {
				continue
			}
			for _, l := range [][2]float64{{c.width, c.height}, {c.height, c.width}} {
				n := int(math.Floor((room-2*bleed+across)/(l[0]+across) + 1e-9))
				rows := int(math.Floor(frame/(l[1]+around) + 1e-9))
				out = append(out, exactBed{pi, web, "", n, rows, float64(rows) * (l[1] + around)})
			}
		}
	}
	return out
}

// rate prices a frame and a run on a bed, from the press file above.
func (b *exactBed) rate(x *exactTerms, material string, inks int) (frame, once float64) {
	p := exactPresses[b.press]
	speed := p.fast
	if inks > 6 {
		speed = p.slow
	}
	perM2 := x.paper
	if material == "film" {
		perM2 = x.film
	}
	net, perM, minute, finish := b.repeat/1000, perM2*b.web/1000, p.hour*x.hour/60, x.finishHour/60
	gross := perM + minute/speed + minute*5/2000 + finish/100
	frame = net*1.03*gross + net*b.web/1000*x.ink*float64(inks)
	once = (x.setup+x.perInk*float64(inks))*gross + x.setupMin*minute + x.perSetup + x.finishMin*finish
	return frame, once
}

// shares lists every way to give n lanes to k orders.
func shares(n, k int) (out [][]int) {
	if k == 1 {
		return [][]int{{n}}
	}
	for i := range n + 1 {
		for _, rest := range shares(n-i, k-1) {
			out = append(out, append([]int{i}, rest...))
		}
	}
	return out
}

// exactRuns are needs, in lanes of a frame, of orders that share n lanes.
type exactRuns struct {
	n      int
	shares [][]int
}

// leastRuns returns the least cost of one to three runs. That a fourth can't pay
// follows from the frames that all labels need at least.
func leastRuns(t *testing.T, needs []int, n int, frame, once float64) float64 {
	if n == 1 { // each order is a run of its own
		return frame*float64(sumInts(needs)) + once*float64(len(needs))
	}
	r := &exactRuns{n, shares(n, len(needs))}
	least := ceilDiv(sumInts(needs), n)
	best := frame*float64(r.one(needs)) + once
	if frame*float64(least)+2*once < best {
		best = min(best, frame*float64(r.two(needs))+2*once)
	}
	if frame*float64(least)+3*once < best {
		best = min(best, r.three(needs, frame, once, best))
	}
	if frame*float64(least)+4*once < best-1e-9 {
		t.Errorf("needs %v on %d lanes: four runs might do, which nobody tried", needs, n)
	}
	return best
}

const manyFrames = math.MaxInt / 4

// frames returns the length of a run with these lanes; many where an order has none.
func frames(lanes, needs []int) int {
	most := 0
	for i, x := range needs {
		switch {
		case x <= 0:
		case lanes[i] == 0:
			return manyFrames
		default:
			most = max(most, ceilDiv(x, lanes[i]))
		}
	}
	return most
}

func (r *exactRuns) one(needs []int) int {
	best := manyFrames
	for _, lanes := range r.shares {
		best = min(best, frames(lanes, needs))
	}
	return best
}

// two tries every first run of every length.
func (r *exactRuns) two(needs []int) int {
	best, total, rest := manyFrames, sumInts(needs), make([]int, len(needs))
	for _, lanes := range r.shares {
		for long := 1; long <= longest(lanes, needs) && long < best; long++ {
			if long+ceilDiv(max(total-r.n*long, 0), r.n) >= best {
				continue
			}
			for i := range needs {
				rest[i] = needs[i] - lanes[i]*long
			}
			best = min(best, long+r.one(rest))
		}
	}
	return best
}

func (r *exactRuns) three(needs []int, frame, once, best float64) float64 {
	rest := make([]int, len(needs))
	for _, lanes := range r.shares {
		for long := 1; long <= longest(lanes, needs); long++ {
			for i := range needs {
				rest[i] = needs[i] - lanes[i]*long
			}
			if frame*float64(long+ceilDiv(sumInts(rest), r.n))+3*once < best {
				best = min(best, frame*float64(long+r.two(rest))+3*once)
			}
		}
	}
	return best
}

// longest is the length beyond which a run does nothing more.
func longest(lanes, needs []int) int {
	most := 0
	for i, x := range needs {
		if lanes[i] > 0 && x > 0 {
			most = max(most, ceilDiv(x, lanes[i]))
		}
	}
	return most
}

func ceilDiv(a, b int) int { return (a + b - 1) / b }

// sumInts adds what is still needed.
func sumInts(needs []int) (sum int) {
	for _, x := range needs {
		sum += max(x, 0)
	}
	return sum
}
