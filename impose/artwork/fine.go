package artwork

import (
	"cmp"
	"slices"
	"strings"
)

// Detail is something fine, text or a line, that stands in more than one ink,
// or that is left out of what may be more than one: a register error of a tenth
// of a millimetre blurs it.
type Detail struct {
	Text   bool    // else a line
	SizePt float64 // of the type, or the line's width
	Inks   []string
	// Paper is set for what clears all that lies beneath, so that the colours
	// around it decide.
	Paper bool
	Near  Rect // around its start, in the page's space
}

// What counts as fine: type below 8 pt, or lines below 1 pt, in several inks.
// Common practice, no source; a press whose register is known states its own.
const (
	FineText = 8.0
	FineLine = 1.0
)

// maxDetails bounds the list; a page with more has said enough.
const maxDetails = 64

// noteFine notes what is painted in a colour at a size in user units.
func noteFine(p *painter, c *colour, text bool, size float64, over bool, x, y float64) {
	least := cmp.Or(p.page.File.opt.FineLine, FineLine)
	if text {
		least = cmp.Or(p.page.File.opt.FineText, FineText)
	}
	points := size * p.page.UserUnit
	near := Rect{x, y, x + size, y + size}
	if points >= least || points <= 0 || p.hidden > 0 || p.masking > 0 || len(p.page.Details) >= maxDetails ||
		c.space.family == patternSpace || !p.seen(near).meets(p.area) || c.space.isTechnical(p) {
		return
	}
	var inks []string
	c.space.amounts(c.values, func(u *inkUse) { inks = append(inks, u.name) })
	if len(inks) == 1 || len(inks) == 0 && (over || c.space.family == spotSpace && c.space.inks[0] == nil) {
		return
	}
	slices.Sort(inks)
	inks = slices.Compact(inks)
	d := Detail{Text: text, SizePt: points, Inks: inks, Paper: len(inks) == 0, Near: near}
	for i := range p.page.Details {
		// One of each kind, the finest; knocked-out ones lie on different colours.
		if old := &p.page.Details[i]; old.Text == text && !d.Paper && !old.Paper && strings.Join(old.Inks, "\n") == strings.Join(inks, "\n") {
			if points < old.SizePt {
				*old = d
			}
			return
		}
	}
	p.page.Details = append(p.page.Details, d)
}
