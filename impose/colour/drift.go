package colour

import (
	"fmt"
	"math"
	"strings"

	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// toneDrift says how a tint's tone value changes over the run.
func toneDrift(ink string, nominal float64, xs, values []float64, least float64) (out []Drift) {
	ys := make([][]float64, len(values))
	for i, v := range values {
		ys[i] = []float64{v}
	}
	for _, r := range ramps(xs, ys) {
		change := r.to[0] - r.from[0]
		if math.Abs(change) < least {
			continue
		}
		word := "rises"
		if change < 0 {
			word = "falls"
		}
		out = append(out, drift(ink, r, xs, math.Abs(change),
			fmt.Sprintf("%s %s: %s points at %s %%", ink, word, say.Signed(change, 1), say.Plain(nominal, 2))))
	}
	return out
}

// colourDrift says how a solid or the paper changes over the run.
func colourDrift(ink string, xs []float64, labs []cielab.Lab, least float64) (out []Drift) {
	ys := make([][]float64, len(labs))
	for i, c := range labs {
		ys[i] = []float64{c.L, c.A, c.B}
	}
	mean := cielab.Mean(labs)
	for i, r := range ramps(xs, ys) {
		from, to := cielab.Lab{L: r.from[0], A: r.from[1], B: r.from[2]}, cielab.Lab{L: r.to[0], A: r.to[1], B: r.to[2]}
		if i > 0 { // a later change is one of what the first left
			from, to = plus(mean, from), plus(mean, to)
		}
		size := cielab.DE00(from, to)
		if size < least {
			continue
		}
		name := ink + "'s solid"
		if ink == "paper" {
			name = "the paper"
		}
		out = append(out, drift(ink, r, xs, size, fmt.Sprintf("%s %s: dE00 %s", name, way(from, to), say.Fixed(size, 1))))
	}
	return out
}

func plus(a, b cielab.Lab) cielab.Lab { return cielab.Lab{L: a.L + b.L, A: a.A + b.A, B: a.B + b.B} }

// drift names where a change begins and ends.
func drift(ink string, r ramp, xs []float64, size float64, what string) Drift {
	last := xs[len(xs)-1]
	if r.end >= last-1e-9 || r.end-r.start > 0.9*(last-r.start) {
		what += fmt.Sprintf(" since metre %s", say.Fixed(r.start, 0))
	} else {
		what += fmt.Sprintf(" from metre %s to %s", say.Fixed(r.start, 0), say.Fixed(r.end, 0))
	}
	return Drift{Ink: ink, FromM: round(r.start, 1), ToM: round(min(r.end, last), 1), Size: round(size, 2), What: what}
}

// hardlySeen is the difference below which no direction is told.
const hardlySeen = 0.5

// way says in words where a colour goes: what changes most, and what more than
// half as much.
func way(from, to cielab.Lab) string {
	if cielab.DE00(from, to) < hardlySeen {
		return "hardly differs"
	}
	dl, dc := to.L-from.L, to.Chroma()-from.Chroma()
	dh := cielab.DH(from, to)
	most := max(math.Abs(dl), math.Abs(dc), dh)
	var words []string
	add := func(v float64, up, down string) {
		if math.Abs(v) < most/2 || v == 0 {
			return
		}
		if v > 0 {
			words = append(words, up)
		} else {
			words = append(words, down)
		}
	}
	add(dl, "lighter", "darker")
	add(dc, "purer", "duller")
	if dh >= most/2 && dh > 0 {
		words = append(words, hueWay(from, to))
	}
	return "turns " + strings.Join(words, " and ")
}

// hueWay names the direction in which a hue turns, or an almost neutral colour
// is tinged.
func hueWay(from, to cielab.Lab) string {
	da, db := to.A-from.A, to.B-from.B
	if math.Abs(da) >= math.Abs(db) {
		if da > 0 {
			return "redder"
		}
		return "greener"
	}
	if db > 0 {
		return "yellower"
	}
	return "bluer"
}
