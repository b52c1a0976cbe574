package mark

import (
	"cmp"
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
)

// targetBench lays the colour targets, and the slug line that shares their margins.
type targetBench struct {
	*bench
	slugs slugBench
}

// columns fills the margin lanes between the register marks with sets of
// targets and the slug line. Whole sets stand at the same places in both
// lanes, spread over the frame. The slug line stands at the start of one lane
// in place of the sets there, unless that would cost the last of them.
func (b targetBench) columns(t *Targets, s *Slug) {
	slug := b.slugs.line(s, t)
	if t == nil {
		b.slugs.left(slug)
		return
	}
	set := t.patches(b.inks)
	bays := b.bays(t, len(set))
	if len(bays) == 0 {
		b.layAsFits(t, set)
	} else {
		b.layWhole(t, set, b.slugs.atStart(slug, bays))
	}
	b.slugs.left(slug)
}

// bay is a place for one whole set of targets.
type bay struct {
	side Side
	box  geometry.Box
}

// lanes returns the margins that targets may stand in.
func (b targetBench) lanes(t *Targets) []margin {
	switch t.Side {
	case Left:
		return b.margins[:1]
	case Right:
		return b.margins[1:]
	}
	return b.margins[:]
}

// bays returns the places for whole sets of n patches, along the frame and the
// left one first of two that are level.
func (b targetBench) bays(t *Targets, n int) []bay {
	long := geometry.Length(n) * t.Patch.Around
	var bays []bay
	for _, m := range b.lanes(t) {
		across, around := b.longest(m, t.Patch.Across)
		fit := int((around.length() + setGap) / (long + setGap))
		for i := range fit {
			at := geometry.Position{Across: across.from, Around: around.from}
			if i > 0 {
				at.Around += geometry.Length(i) * (around.length() - long) / geometry.Length(fit-1)
			}
			bays = append(bays, bay{m.side, geometry.BoxAt(at, geometry.Size{Across: t.Patch.Across, Around: long})})
		}
	}
	slices.SortStableFunc(bays, func(x, y bay) int { return cmp.Compare(x.box.Min.Around, y.box.Min.Around) })
	return bays
}

// layWhole lays a set into each bay, or into the first only.
func (b targetBench) layWhole(t *Targets, set []Patch, bays []bay) {
	if t.Once {
		bays = bays[:1]
	}
	for i, y := range bays {
		b.layPatches(t, set, i+1, y.side, y.box.Min)
	}
}

// layAsFits lays one set over both lanes where neither takes it whole, and
// says what is left out.
func (b targetBench) layAsFits(t *Targets, set []Patch) {
	var room geometry.Length
	left := set
	for _, m := range b.lanes(t) {
		across, around := b.longest(m, t.Patch.Across)
		n := min(int(around.length()/t.Patch.Around), len(left))
		b.layPatches(t, left[:n], 1, m.side, geometry.Position{Across: across.from, Around: around.from})
		left = left[n:]
		room += around.length()
	}
	switch {
	case len(left) == 0:
	case room == 0:
		b.out.Warnings.Add(CodeTargets, "no room for targets: patches of %s with %s of clearance want a target lane of %s that nothing else takes; left out: %s",
			t.Patch, b.clear, t.Patch.Across+2*b.clear, names(left))
	default:
		b.out.Warnings.Add(CodeTargets, "targets cut short: a set takes %s along the frame, the margins have %s; left out: %s",
			geometry.Length(len(set))*t.Patch.Around, room, names(left))
	}
}

// layPatches lays patches side by side along the web. They are painted on
// paper: whatever ink is not named is knocked out.
func (b targetBench) layPatches(t *Targets, set []Patch, number int, side Side, at geometry.Position) {
	for _, p := range set {
		p.Set, p.Side = number, side
		b.layPatch(p, geometry.BoxAt(at, t.Patch))
		at.Around += t.Patch.Around
	}
}

func (b targetBench) layPatch(p Patch, box geometry.Box) {
	p.Number, p.Box = len(b.out.Patches)+1, box
	b.out.Patches = append(b.out.Patches, p)
	b.space.take(box)
	if len(p.Tints) > 0 {
		b.out.Items = append(b.out.Items, draw.Fill{Layer: draw.Targets, Path: draw.Rectangle(box), Paint: draw.Paint{Tints: p.Tints}})
	}
}
