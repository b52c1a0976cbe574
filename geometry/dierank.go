package geometry

import (
	"cmp"
	"math"
	"slices"
)

// Fit says how a die serves a wish on the web that it serves best. What is
// counted (grid, split, run, cost) is counted for near misses as if they fitted.
type Fit struct {
	Die      *Die
	Fits     bool
	Near     bool // doesn't fit, but a small change of the label or another turn would do
	Turn     Turn
	Web      Web
	Across   int // lanes
	Around   int // rows
	Gap      Size
	Repeat   Length
	Tail     Length
	Strokes  int // a frame, of a tool that cuts in strokes; 0 where the stroke isn't known
	Split    Split
	Run      *Usage  // of the order; nil without a quantity
	WebArea  float64 // gross, in square millimetres: of the order, or of one label without a quantity
	Least    Length  // the narrowest web that would do
	Warnings []Reason
	Differs  []string // artworks, as Wish.Drawn names them, whose die lines are not what the die cuts, each of which a warning tells

	reasons []Reason
	off     Length // how far the die's size is from the label's
	wish    *Wish
	judged  bool
}

// Labels returns the stations on a frame.
func (f *Fit) Labels() int { return f.Across * f.Around }

// Reasons returns all that speaks against the die, each with its numbers; nothing
// when it fits. A die of another size is only judged in full when asked here:
// of a die room of thousands, few have the size.
func (f *Fit) Reasons() []Reason {
	if f.judged {
		return f.reasons
	}
	full := f.wish.judge(f.Die)
	return full.reasons
}

// Layout lays the stations of a die that fits or nearly fits.
func (f *Fit) Layout() *Layout {
	l := &Layout{
		Web: f.Web, Label: f.Die.Size, Area: f.Die.area(), Turn: f.Turn, Across: f.Across, Around: f.Around,
		Gap: f.Gap, Bleed: f.wish.Bleed, Repeat: f.Repeat, Tail: f.Tail,
	}
	l.grid(0)
	return l
}

// RankDies ranks a die room: first the dies that fit, by the web that the order
// costs; then near misses; then the others, those of the nearest size first.
// Equal ones keep their order. A wish that nothing could meet is an error with
// a hint.
func RankDies(dies []Die, w Wish) ([]Fit, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	fits := make([]Fit, len(dies))
	for i := range dies {
		d := &dies[i]
		if turn, off := w.closest(d); off > max(w.Near, DieTolerance) {
			fits[i] = Fit{Die: d, Turn: turn, off: off, wish: &w}
		} else {
			fits[i] = w.judge(d)
		}
	}
	return ranked(fits), nil
}

// ranked sorts fits without moving them more than once.
func ranked(fits []Fit) []Fit {
	order := make([]*Fit, len(fits))
	for i := range fits {
		order[i] = &fits[i]
	}
	slices.SortStableFunc(order, (*Fit).compare)
	out := make([]Fit, len(fits))
	for i, f := range order {
		out[i] = *f
	}
	return out
}

// compare puts the better of two first.
func (f *Fit) compare(g *Fit) int {
	return cmp.Or(
		cmp.Compare(f.class(), g.class()),
		cmp.Compare(f.off, g.off),
		cmp.Compare(len(f.reasons), len(g.reasons)),
		cmp.Compare(f.WebArea, g.WebArea),
	)
}

func (f *Fit) class() int {
	switch {
	case f.Fits:
		return 0
	case f.Near:
		return 1
	}
	return 2
}

// judge tries the die on every web and keeps the best; a laser at each station by
// itself, as its grid is free.
func (w *Wish) judge(d *Die) Fit {
	if d.Station != Laser {
		return w.judgeAt(d)
	}
	var best Fit
	for i, one := range w.apart(Laser) {
		if f := one.judgeAt(d); i == 0 || f.compare(&best) < 0 {
			best = f
		}
	}
	return best
}

func (w *Wish) judgeAt(d *Die) Fit {
	turn, off := w.closest(d)
	known := w.verdict(d, turn, w.Webs[0], d.Check())
	if known.off = off; len(known.reasons) > 0 {
		return known
	}
	unmatched, near := w.unmatched(d, turn, off)
	against, warnings := w.suits(d)
	known.reasons, known.Warnings = append(unmatched, against...), warnings
	for i := range w.Drawn {
		if why := w.Drawn[i].differs(d, turn, w.Label); len(why) > 0 {
			known.Warnings, known.Differs = append(known.Warnings, why...), append(known.Differs, w.Drawn[i].Name)
		}
	}
	near = near && len(unmatched) > 0 && len(against) == 0
	best := w.on(known, w.Webs[0], near)
	for _, web := range w.Webs[1:] {
		if f := w.on(known, web, near); f.compare(&best) < 0 {
			best = f
		}
	}
	return best
}

// otherShape is how far off a die of another shape is: further than any size.
const otherShape Length = math.MaxInt64
