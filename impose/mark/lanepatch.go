package mark

import (
	"quoin/geometry"
	"quoin/impose/say"
)

// lanePatches lays a small set for each lane into the matrix beside it, so that
// each lane has a reading of its own: the solids, paper and the tints nearest to
// a half, as many as find room. A gap holds the set of the lane at its left; the
// last one holds the last lane's too. The matrix is stripped with the waste.
func (b targetBench) lanePatches(t *Targets) {
	if t == nil || t.LanePatch == 0 {
		return
	}
	lanes := b.lanesAcross()
	set := t.lanePatches(b.bench)
	short := 0
	for i := 1; i < len(lanes); i++ {
		middle := (lanes[i-1].to + lanes[i].from) / 2
		owners := []int{lanes[i-1].lane}
		if i == len(lanes)-1 {
			owners = append(owners, lanes[i].lane)
		}
		var places []geometry.Box
		if t.LanePatch <= lanes[i].from-lanes[i-1].to {
			places = b.placesAlong(middle-t.LanePatch/2, t.LanePatch, len(owners)*len(set))
		}
		for k, owner := range owners {
			// Where not all find room the lanes share what there is.
			share := len(places) / len(owners)
			for n, p := range set[:min(len(set), share)] {
				p.Set, p.Side, p.Lane = 1, Matrix, owner
				b.layPatch(p, places[k*share+n])
			}
			if share < len(set) {
				short++
			}
		}
	}
	switch {
	case len(lanes) < 2:
		b.out.Notes.Add(CodeLaneTargets, "no patches between lanes: there is one lane")
	case short > 0:
		b.out.Notes.Add(CodeLaneTargets, "patches of %s between lanes are left out, wholly or in part, for %s: a gap of %s has room for what its bleed leaves",
			t.LanePatch, say.CountOf(short, "lane", "lanes"), b.layout.Gap.Across)
	}
}

// lanePatches returns the part of a set that tells most of a lane: all up to the
// middle tints.
func (t *Targets) lanePatches(b *bench) []Patch {
	var out []Patch
	for _, p := range t.patches(b.inks) {
		tinted := p.What == Tint && amount(p) == t.middle()
		if p.What == Full || p.What == Paper || tinted {
			out = append(out, p)
		}
	}
	return out
}

// placesAlong returns places for up to n squares of a side, along a strip that
// begins so far across.
func (b targetBench) placesAlong(from, side geometry.Length, n int) []geometry.Box {
	var out []geometry.Box
	for _, s := range b.space.along(span{from, from + side}, b.space.whole(), b.clear) {
		for at := s.from; at+side <= s.to && len(out) < n; at += side {
			out = append(out, geometry.BoxAt(geometry.Position{Across: from, Around: at}, geometry.Size{Across: side, Around: side}))
		}
	}
	return out
}
