package plate

import (
	"math"

	"quoin/impose/artwork"
)

// tint returns how much of an ink a colour puts down, 0 to 1, and whether its
// space names the ink at all: with overprint on, what a space doesn't name is
// left alone (ISO 32000-1 8.6.7 and 11.7.4.5). A process space names all four
// process inks.
func (sp *space) tint(of Ink, v []float64) (amount float64, names bool) {
	at := func(i int) float64 {
		if i < len(v) && v[i] > 0 {
			return min(v[i], 1)
		}
		return 0
	}
	if of.mask {
		return 1 - luminosity(sp, v), true
	}
	switch sp.family {
	case spotSpace:
		bare := 1.0
		for i, n := range sp.names {
			if n != of.Name && n != "All" {
				continue
			}
			if names && !sp.renamed {
				break // a name twice is a fault of the file: the first counts
			}
			names = true
			bare *= 1 - at(i)
		}
		return 1 - bare, names
	case indexedSpace:
		return sp.base.tint(of, sp.entry(int(at0(v))))
	case patternSpace, unknownSpace:
		return 0, of.process >= 0
	}
	if of.process < 0 {
		return 0, false
	}
	return process(sp, v)[of.process], true
}

func at0(v []float64) float64 {
	if len(v) == 0 || math.IsNaN(v[0]) {
		return 0
	}
	return min(max(v[0], 0), 255)
}

// process turns a colour of a space without spots into C, M, Y, K. Grey is
// black alone. RGB is turned by the formulas of ISO 32000-1 10.3.5, with all of
// the grey component in black: the RIP's own conversion will differ, and the
// colour is told as approximate.
func process(sp *space, v []float64) [4]float64 {
	at := func(i int) float64 {
		if i < len(v) && v[i] > 0 {
			return min(v[i], 1)
		}
		return 0
	}
	switch sp.family {
	case graySpace:
		return [4]float64{3: 1 - at(0)}
	case cmykSpace:
		return [4]float64{at(0), at(1), at(2), at(3)}
	case rgbSpace:
		return fromRGB(at(0), at(1), at(2))
	case labSpace:
		if len(v) >= 3 {
			return fromRGB(artwork.FromLab(v[0], v[1], v[2]))
		}
	}
	return [4]float64{}
}

func fromRGB(r, g, b float64) [4]float64 {
	c, m, y := 1-r, 1-g, 1-b
	k := min(c, m, y)
	return [4]float64{c - k, m - k, y - k, k}
}

// luminosity returns the brightness of a colour as a soft mask takes it
// (ISO 32000-1 11.5.3, with the conversions of 10.3).
func luminosity(sp *space, v []float64) float64 {
	switch sp.family {
	case spotSpace:
		if sp.transform != nil && sp.base.n == sp.transform.Outputs() {
			return luminosity(sp.base, sp.transform.At(v...))
		}
		return 1
	case indexedSpace:
		return luminosity(sp.base, sp.entry(int(at0(v))))
	case patternSpace, unknownSpace:
		return 1
	case rgbSpace:
		if len(v) >= 3 {
			return min(max(0.3*v[0]+0.59*v[1]+0.11*v[2], 0), 1)
		}
	case labSpace:
		if len(v) >= 3 {
			r, g, b := artwork.FromLab(v[0], v[1], v[2])
			return 0.3*r + 0.59*g + 0.11*b
		}
	}
	p := process(sp, v)
	return (0.3*(1-p[0]) + 0.59*(1-p[1]) + 0.11*(1-p[2])) * (1 - p[3])
}
