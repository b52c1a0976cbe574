package plan

import (
	"cmp"
	"context"
	"math"
	"math/bits"
	"slices"

	"quoin/impose/night"
)

// Limits of the work of merging, in groups of one material and forme: every
// join is tried of so few; of more, joins of up to joinMost of them, each grown
// from the widest most promising ones that are smaller by one.
const (
	fewGroups = 7
	joinMost  = 5
	widest    = 8
)

// part is a group, or several joined, with what it takes.
type part struct {
	*group
	takes quick
}

// join is several parts as one. It pays where gain, in minutes, is above 0.
type join struct {
	part
	gain float64
}

// merger joins the groups of one material and forme.
type merger struct {
	ctx   context.Context
	rules *night.Rules
}

// never is the gain of what can't be joined, however many join in.
var never = join{gain: math.Inf(-1)}

// join looks at parts as one group. A gain that is not above 0 may be better
// than the real one, and serves to tell what to grow from.
func (m *merger) join(parts ...*part) join {
	var apart spent
	all := parts[0].group
	for i, p := range parts {
		if !p.takes.ok {
			return never
		}
		apart = apart.plus(p.takes.spent)
		if i == 0 {
			continue
		}
		var err error
		if all, err = all.with(p.group, m.rules); err != nil {
			return never
		}
	}
	j := join{part{all, quick{}}, apart.minutes - least{all, m.rules}.minutes()}
	if j.gain <= 0 {
		return j
	}
	if j.takes = all.quick(m.ctx, m.rules); !j.takes.ok {
		return never
	}
	j.gain = apart.minutes - j.takes.minutes
	if j.takes.gross > apart.gross {
		j.gain = min(j.gain, 0)
	}
	return j
}

// bestShares tries every set of the parts as one, and gives the ones that
// together gain most. Sets of parts are bit masks.
func (m *merger) bestShares(parts []*part) []*part {
	sets := make([]join, 1<<len(parts))
	gain := make([]float64, len(sets)) // the most, of the parts in the set
	first := make([]uint, len(sets))   // the part of the best shares that holds the set's first
	for set := uint(1); set < uint(len(sets)); set++ {
		if bits.OnesCount(set) == 1 {
			sets[set].part = *parts[bits.TrailingZeros(set)]
		} else {
			sets[set] = m.join(chosen(parts, set)...)
		}
		low := set & -set
		first[set], gain[set] = low, gain[set^low]
		for sub := (set - 1) & set; ; sub = (sub - 1) & set {
			with := sub | low
			if sub&low == 0 && sets[with].gain > 0 && sets[with].gain+gain[set^with] > gain[set] {
				first[set], gain[set] = with, sets[with].gain+gain[set^with]
			}
			if sub == 0 {
				break
			}
		}
	}
	var out []*part
	for set := uint(len(sets) - 1); set != 0; set ^= first[set] {
		out = append(out, &sets[first[set]].part)
	}
	return out
}

// chosen returns the parts of a bit mask.
func chosen(parts []*part, set uint) []*part {
	var out []*part
	for i, p := range parts {
		if set>>i&1 == 1 {
			out = append(out, p)
		}
	}
	return out
}

// grow takes the best join again and again, until none pays.
func (m *merger) grow(parts []*part) []*part {
	pairs := map[[2]*part]*join{}
	for {
		best := m.bestPair(parts, pairs)
		if best.gain <= 0 {
			best = m.bestLarger(parts, pairs)
		}
		if best.gain <= 0 {
			return parts
		}
		parts[best.of[0]] = &best.part
		for _, i := range slices.Backward(best.of[1:]) {
			parts = slices.Delete(parts, i, i+1)
		}
	}
}

// candidate is a join of the parts at the indices, which rise.
type candidate struct {
	*join
	of []int
}

// bestPair returns the pair that gains most. What is known of a pair is kept
// until one of its parts is joined.
func (m *merger) bestPair(parts []*part, pairs map[[2]*part]*join) candidate {
	best, at := &never, [2]int{}
	for i, p := range parts {
		for k := i + 1; k < len(parts); k++ {
			key := [2]*part{p, parts[k]}
			j := pairs[key]
			if j == nil {
				j = new(m.join(p, parts[k]))
				pairs[key] = j
			}
			if j.gain > best.gain {
				best, at = j, [2]int{i, k}
			}
		}
	}
	return candidate{best, at[:]}
}

// bestLarger returns the best of the smallest joins of more than two that pay.
func (m *merger) bestLarger(parts []*part, pairs map[[2]*part]*join) candidate {
	var level []candidate
	for i, p := range parts {
		for k := i + 1; k < len(parts); k++ {
			level = append(level, candidate{pairs[[2]*part{p, parts[k]}], []int{i, k}})
		}
	}
	level = best(level)
	for size := 3; size <= joinMost && len(level) > 0; size++ {
		level = best(m.wider(parts, level))
		if len(level) > 0 && level[0].gain > 0 {
			return level[0]
		}
	}
	return candidate{&never, nil}
}

// best returns the most promising candidates, the best first.
func best(level []candidate) []candidate {
	level = slices.DeleteFunc(level, func(c candidate) bool { return math.IsInf(c.gain, -1) })
	slices.SortStableFunc(level, func(a, b candidate) int { return cmp.Compare(b.gain, a.gain) })
	return level[:min(widest, len(level))]
}

// wider adds one part to each join, in every way.
func (m *merger) wider(parts []*part, level []candidate) []candidate {
	var out []candidate
	seen := map[[joinMost]int]bool{}
	for _, c := range level {
		for i := range parts {
			at, is := slices.BinarySearch(c.of, i)
			if is {
				continue
			}
			of := slices.Insert(slices.Clone(c.of), at, i)
			var key [joinMost]int
			copy(key[:], of)
			if seen[key] {
				continue
			}
			seen[key] = true
			var several []*part
			for _, k := range of {
				several = append(several, parts[k])
			}
			out = append(out, candidate{new(m.join(several...)), of})
		}
	}
	return out
}
