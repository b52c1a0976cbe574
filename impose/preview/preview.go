// Package preview shows a frame as a picture for people: which label stands
// where, and every mark in about the colour of its ink. Nothing in it is fit
// for the press.
package preview

import (
	"fmt"
	"math"

	"quoin/impose/draw"
	"quoin/impose/ink"
)

// paper is the colour of the web: not quite white, so that white ink shows.
var paper = [3]float64{0.985, 0.98, 0.965}

// film is that of a clear film as a light table shows it, dark enough for white.
var film = [3]float64{0.74, 0.80, 0.82}

// palette gives inks their looks, in printing order.
type palette []ink.Ink

// colour returns how a paint looks on a ground, as a colour of SVG. Each ink takes
// its share of the light away; white covers what is beneath it.
func (p palette) colour(ground [3]float64, paint draw.Paint) string {
	rgb := ground
	for _, i := range p {
		for _, t := range paint.Tints {
			if t.Ink != i.Name {
				continue
			}
			look := look(i)
			for c := range rgb {
				if i.Kind == ink.White {
					rgb[c] += t.Amount * (1 - rgb[c])
				} else {
					rgb[c] *= 1 - t.Amount*(1-look[c])
				}
			}
		}
	}
	return fmt.Sprintf("#%02x%02x%02x", channel(rgb[0]), channel(rgb[1]), channel(rgb[2]))
}

// look is the colour of an ink; varnish, which has none, gets a breath of blue.
func look(i ink.Ink) [3]float64 {
	if i.Kind == ink.Varnish {
		return [3]float64{0.90, 0.94, 0.97}
	}
	return ink.RGB(i.CMYK)
}

func channel(v float64) int { return int(math.Round(255 * max(0, min(1, v)))) }

// covers reports whether the paint hides what is beneath it: it does unless it
// overprints, and then still if there is white in it.
func (p palette) covers(paint draw.Paint) bool {
	if !paint.Overprint {
		return true
	}
	for _, i := range p {
		for _, t := range paint.Tints {
			if t.Ink == i.Name && i.Kind == ink.White {
				return true
			}
		}
	}
	return false
}
