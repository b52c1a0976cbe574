// Package mark lays what the frame carries beside the labels: register, eye
// and slit marks, centre tick and trim marks, the colour targets in the margin
// lanes and the slug line. Everything is draw items in named inks.
//
// What is laid stays inside the printable width and inside the frame, out of
// every label's clip and out of the eye mark's track, and apart from
// everything else that is laid. Ticks alone may stand on the bleed between
// trims, where clips leave no room. What finds no room is never dropped silently:
// it is named in a warning or a note.
package mark

import (
	"cmp"
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/say"
)

// Marks is what Lay laid.
type Marks struct {
	Items    []draw.Item    // in painting order, to be painted after the artwork
	Patches  []Patch        // the colour targets, in the order of their numbers
	Track    geometry.Box   // the eye mark's strip that stays clear; empty without one
	Eyes     []geometry.Box // the eye marks, which alone stand in the track
	Matrix   []geometry.Box // bounds of the paths that stand on bleed between labels, where there is no other room
	Laid     Laid
	Warnings say.Notes // something asked for is missing or crossed
	Notes    say.Notes // something was left out because it had no room, as it often is
}

// Laid is what was laid of what was asked for, for those who tell people of it.
type Laid struct {
	Registers, RegisterPlaces int  // marks, of 4 places
	Slits, SlitLines          int  // ticks, of the lines between lanes; the centre tick serves for one that it stands on
	Centre                    bool // a tick on the web's centre
	Trims, TrimCorners        int  // ticks that point at corners, of 8 a label; one may serve two labels
	Numbers                   bool // of lanes
	NumbersBeside             bool // they stand between lanes, and point at them
	Slug                      bool // the slug line, or a part of it
}

// The codes of warnings and notes.
const (
	CodeNoLane      = "no-target-lane"   // note: the job keeps no lane for marks
	CodeRegister    = "register-room"    // no room for a register mark
	CodeEyeRoom     = "eye-mark-room"    // no room for the eye mark
	CodeEyeTrack    = "eye-track"        // a label crosses the eye mark's track
	CodeEyeContrast = "eye-contrast"     // the eye mark's ink is light
	CodeSlit        = "slit-mark-room"   // no room for slit marks; a note where some are laid
	CodeCentre      = "centre-mark-room" // no room for the centre tick
	CodeTrim        = "trim-mark-room"   // note: no room for some trim marks
	CodeTargets     = "targets-room"     // patches left out
	CodeSlug        = "slug-room"        // the slug line is cut or left out
	CodeGlyph       = "slug-glyph"       // characters that the lettering lacks
	CodeLaneNumbers = "lane-number-room" // no room for lane numbers; a note where there is one lane
	CodeLaneTargets = "lane-target-room" // note: no room for patches between lanes
)

// Lay lays all marks and targets that the options ask for on one frame. Inks
// are the printing inks in the order in which the press lays them; technical
// inks among them are ignored. The layout must have stations. Options that
// make no sense are an *OptionError.
func Lay(l *geometry.Layout, inks []ink.Ink, o Selection) (*Marks, error) {
	inks = slices.DeleteFunc(slices.Clone(inks), func(i ink.Ink) bool { return !i.Kind.Prints() })
	if err := o.check(inks); err != nil {
		return nil, err
	}
	if len(inks) == 0 || len(l.Station) == 0 {
		return &Marks{}, nil
	}
	b := &bench{layout: l, inks: inks, dark: Darkest(inks), clear: o.Clearance, space: newSpace(l)}
	b.eye(o.Eye)
	b.margins = [2]margin{b.margin(Left), b.margin(Right)}
	if l.Web.TargetLane == 0 && (o.Register != nil || o.Targets != nil || o.Slug != nil) {
		b.out.Notes.Add(CodeNoLane, "the target lane is 0 mm, so there are no register marks, targets and slug line")
	} else {
		b.register(o.Register)
	}
	b.slit(o.Slit, b.centre(o.Centre))
	b.trim(o.Trim)
	numberBench{b}.lay(o.LaneNumbers)
	targets := targetBench{b, slugBench{b}}
	if l.Web.TargetLane > 0 {
		targets.columns(o.Targets, o.Slug)
	}
	targets.lanePatches(o.Targets)
	slices.SortStableFunc(b.out.Items, func(x, y draw.Item) int { return cmp.Compare(order(x.On()), order(y.On())) })
	return &b.out, nil
}

// order is that of draw's layers: targets, marks, slug.
func order(l draw.Layer) int {
	return slices.Index([]draw.Layer{draw.Targets, draw.Marks, draw.Slug}, l)
}

// bench is where one frame's marks are laid out. Each kind that takes more than
// one look at the free space has a bench of its own over it.
type bench struct {
	layout  *geometry.Layout
	inks    []ink.Ink
	dark    ink.Ink // what text and ticks are drawn in
	clear   geometry.Length
	space   *space
	margins [2]margin
	out     Marks
}

// add paints an item that takes a box.
func (b *bench) add(box geometry.Box, items ...draw.Item) {
	b.space.take(box)
	b.out.Items = append(b.out.Items, items...)
}

// Darkest returns the ink that shows best on paper: black if there is one. Where
// no ink is a colour, it is the first.
func Darkest(inks []ink.Ink) ink.Ink {
	if len(inks) == 0 {
		return ink.Ink{}
	}
	best := inks[0]
	for _, i := range inks {
		if i.Name == ink.Black {
			return i
		}
		if i.Lightness() < best.Lightness() {
			best = i
		}
	}
	return best
}

// light is the lightness from which an ink can't be read on white paper. Pure
// yellow is 0.88, a clear orange 0.55.
const light = 0.65
