package profile

import (
	"math"
	"slices"

	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// Build is a mix of the process inks.
type Build struct {
	CMYK [4]float64 // in percent
	Lab  cielab.Lab // as the profile predicts it
	DE00 float64    // to the colour that was looked for
}

// Nearest looks for the mix of at most limit percent of ink in all that comes
// nearest to a colour by CIEDE2000: from the best mixes of a coarse grid it
// walks downhill in ever smaller steps, to whole percent. The profile must be
// for CMYK.
func (p *Profile) Nearest(aim cielab.Lab, limit float64) (Build, error) {
	if p.Space != "CMYK" {
		return Build{}, errorf("builds are looked for in CMYK, and the profile is for %s", p.Space)
	}
	s := &search{p, aim, limit}
	var starts []Build
	for i := range 6 * 6 * 6 * 6 {
		mix := [4]float64{float64(i%6) * 20, float64(i/6%6) * 20, float64(i/36%6) * 20, float64(i/216) * 20}
		if b, ok := s.try(mix); ok {
			starts = append(starts, b)
		}
	}
	if len(starts) == 0 {
		return Build{}, errorf("no mix stays within %s %% of ink", say.Exact(limit))
	}
	slices.SortStableFunc(starts, func(a, b Build) int { return sign(a.DE00 - b.DE00) })
	best := starts[0]
	for _, b := range starts[:min(12, len(starts))] {
		if b = s.downhill(b); b.DE00 < best.DE00 {
			best = b
		}
	}
	return best, nil
}

func sign(v float64) int {
	switch {
	case v < 0:
		return -1
	case v > 0:
		return 1
	}
	return 0
}

type search struct {
	profile *Profile
	aim     cielab.Lab
	limit   float64
}

// try predicts a mix; it is not ok beyond the limits.
func (s *search) try(mix [4]float64) (Build, bool) {
	sum := 0.0
	for _, v := range mix {
		if v < 0 || v > 100 {
			return Build{}, false
		}
		sum += v
	}
	if sum > s.limit {
		return Build{}, false
	}
	lab, err := s.profile.Lab([]float64{mix[0] / 100, mix[1] / 100, mix[2] / 100, mix[3] / 100})
	if err != nil {
		return Build{}, false
	}
	return Build{mix, lab, cielab.DE00(lab, s.aim)}, true
}

// downhill changes one ink, or two against or with each other, as long as that
// helps by more than a thousandth.
func (s *search) downhill(b Build) Build {
	for step := 16.0; step >= 1; step /= 2 {
		for moved := true; moved; {
			moved = false
			for i := range 4 {
				for j := i; j < 4; j++ {
					for _, d := range [][2]float64{{step, 0}, {-step, 0}, {step, -step}, {-step, step}, {step, step}, {-step, -step}} {
						if i == j && d[1] != 0 {
							continue
						}
						mix := b.CMYK
						mix[i] += d[0]
						mix[j] += d[1]
						if next, ok := s.try(mix); ok && next.DE00 < b.DE00-1e-3 {
							b, moved = next, true
						}
					}
				}
			}
		}
	}
	for i := range b.CMYK {
		b.CMYK[i] = math.Round(b.CMYK[i])
	}
	return b
}
