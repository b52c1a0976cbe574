// Package draw is the frame as a flat list of things to draw: the one form
// between the layout and whatever writes or shows it. Positions are those of
// geometry; nothing here knows PDF.
package draw

import "quoin/geometry"

// Layer tells what an item is part of. Writers and pictures switch items on
// and off by it.
type Layer string

// The layers, in the order in which they are painted.
const (
	Artwork    Layer = "artwork"
	White      Layer = "white"    // engine-made underprint
	Varnish    Layer = "varnish"  // engine-made varnish
	Data       Layer = "data"     // variable data
	Cutting    Layer = "cutting"  // die contours, a processing step
	DieLine    Layer = "die-line" // those of artworks whose own don't print, on a layer that is off
	Targets    Layer = "targets"
	Marks      Layer = "marks"
	Slug       Layer = "slug"
	Dimensions Layer = "dimensions" // for pictures only, never on the press
)

// Frame is one printed repeat.
type Frame struct {
	Size  geometry.Size // web width x repeat
	Items []Item        // in painting order
}

// Mirror returns the matrix, as PDF and SVG write it, that takes what is as wide to
// its mirror image across: the face that is seen through a film to the printed
// one, or back. The press file and the proof have it from here.
func Mirror(width float64) [6]float64 { return [6]float64{-1, 0, 0, 1, width, 0} }

// Item is one thing to draw: a Place, a Cover, a Fill, a Stroke or a Text.
type Item interface{ On() Layer }

// Place puts one artwork page on a station.
type Place struct {
	Art  int           // index of the artwork page in the job's list
	Trim geometry.Box  // where its trim box lands, after the turn
	Turn geometry.Turn // counter-clockwise
	Clip Path          // the trim with as much bleed as there is room for
}

// On returns Artwork.
func (Place) On() Layer { return Artwork }

// Cover paints an ink wherever an artwork paints on a station, as a white
// beneath the colours does: as much of it as the artwork is opaque.
type Cover struct {
	Layer Layer
	Place Place // the artwork's; its Clip bounds the ink
	// Choke is how far the ink stays inside of the artwork's edges.
	Choke geometry.Length
	Paint Paint
}

// On returns the layer of the cover.
func (c Cover) On() Layer { return c.Layer }

// Fill paints the inside of a path, by the nonzero winding rule.
type Fill struct {
	Layer Layer
	Path  Path
	Paint Paint
}

// On returns the layer of the fill.
func (f Fill) On() Layer { return f.Layer }

// Stroke paints along a path, with butt caps and mitred joins.
type Stroke struct {
	Layer Layer
	Path  Path
	Width geometry.Length
	Paint Paint
}

// On returns the layer of the stroke.
func (s Stroke) On() Layer { return s.Layer }
