package geometry

import (
	"fmt"
	"strings"
)

// Stripping says how narrow a gap may be for the matrix of a material to come
// off in one piece.
type Stripping struct {
	Material string
	Refuse   Length // gaps below it are refused
	Warn     Length // gaps below it are warned of
}

// CommonStripping serves where nothing is known of the material: gaps along the
// web of 2 to 4 mm, 3 preferred, are a maker's figures for thermal label media
// (docs.zebra.com, r-zt2x0 media specifications); that a warning starts at
// 2.5 mm is common practice, no source. Figures for cut sheets are far smaller
// and no guide for rolls.
var CommonStripping = Stripping{Refuse: 2 * Millimetre, Warn: 2500 * Micrometre}

// StrippingFor returns the rule for a material, in whatever letters it is written,
// or CommonStripping when there is none.
func StrippingFor(rules []Stripping, material string) Stripping {
	for _, s := range rules {
		if strings.EqualFold(s.Material, material) {
			return s
		}
	}
	return CommonStripping
}

// judge gives what to say of a gap: a reason against it, or a warning. Labels
// that butt share one cut and leave no matrix between them, so no gap at all is
// no fault where the corners are square.
func (s Stripping) judge(code, direction string, gap Length, square bool) (reasons, warnings []Reason) {
	if gap == 0 && square {
		return nil, nil
	}
	text := func(limit Length) string {
		return fmt.Sprintf("a gap of %s %s is less than the %s that the matrix needs", gap.down(), direction, limit.up())
	}
	switch {
	case gap < s.Refuse:
		return []Reason{{code, text(s.Refuse), ""}}, nil
	case gap < s.Warn:
		return nil, []Reason{{code, text(s.Warn) + " to strip well", ""}}
	}
	return nil, nil
}
