package barcode

import "quoin/geometry"

// dots are the pixels of the device, so many to the inch. A pixel of 600 dpi is
// no whole number of nanometres, so symbols are laid out in pixels and turned
// into lengths at the end.
type dots int

// length returns n pixels to the nearest nanometre.
func (d dots) length(n int) geometry.Length {
	return geometry.Length(n).Scaled(geometry.Inch, geometry.Length(d))
}

// nearest returns the pixels of a length, the nearest whole number.
func (d dots) nearest(l geometry.Length) int {
	return int(l.Scaled(geometry.Length(d), geometry.Inch))
}

// atLeast returns the fewest pixels that are no shorter than a length.
func (d dots) atLeast(l geometry.Length) int {
	return int((l*geometry.Length(d) + geometry.Inch - 1) / geometry.Inch)
}

// scaled returns how many pixels of another direction are as long as n of this.
func (d dots) scaled(n int, to dots) int {
	if to == d {
		return n
	}
	return to.nearest(d.length(n))
}

// Snap moves a place to the nearest pixel of a device with so many of them to
// the inch across and around; 0 leaves it where it is.
func Snap(p geometry.Position, across, around int) geometry.Position {
	if across > 0 {
		p.Across = dots(across).length(dots(across).nearest(p.Across))
	}
	if around > 0 {
		p.Around = dots(around).length(dots(around).nearest(p.Around))
	}
	return p
}
