package plate

import (
	"fmt"

	"quoin/impose/artwork"
	"quoin/impose/say"
)

// Frame is a written frame to be compared with the artworks on it, ink by ink
// and pixel by pixel. Its rectangles are in points of the frame's page.
type Frame struct {
	Page     *artwork.Page
	Inks     []string          // of the press, technical and silent ones left out
	Names    map[string]string // name in an artwork -> name on the press
	Mirrored bool
	Stations []Station
	Patches  []Patch
	Drawn    []Drawn // what the engine paints on or over labels
}

// Station is a label on a frame.
type Station struct {
	Lane, Row  int
	Page       *artwork.Page
	Turn       int // counter-clockwise, in degrees
	Trim, Clip artwork.Rect
	Outline    bool // it is clipped to an outline within Clip
}

// Patch is a colour target with the tints in per cent that it must have.
type Patch struct {
	Number int
	Box    artwork.Rect
	Tints  map[string]float64
}

// Drawn is a box that the engine paints in, on some plates or on all.
type Drawn struct {
	Box  artwork.Rect
	Inks map[string]bool // nil: on every plate
}

// PixelReport says how far the pixels of a frame are from its artworks'.
type PixelReport struct {
	Stations int     `json:"stations"` // that are proved
	Distinct int     `json:"distinct"` // of these, compared by themselves; the rest is the same as one of them
	Patches  int     `json:"patches"`
	Inks     int     `json:"inks"`
	DPI      float64 `json:"dpi"`
	// Worst is the largest difference of a pixel in points of tint, 0 to 100.
	Worst   float64    `json:"worst_percent"`
	WorstAt *PixelSpot `json:"worst_at"` // null where nothing differs
	Limit   float64    `json:"limit_percent"`
}

// Differs reports whether a pixel is farther off than drawing itself can be.
func (r *PixelReport) Differs() bool { return r.Worst > r.Limit }

// PixelSpot is a place on a frame.
type PixelSpot struct {
	Lane  int        `json:"lane,omitempty"`
	Row   int        `json:"row,omitempty"`
	Patch int        `json:"patch,omitempty"`
	Ink   string     `json:"ink"`
	AtMM  [2]float64 `json:"at_mm"` // across, around, from the frame's leading left corner
}

func (s *PixelSpot) String() string {
	where := fmt.Sprintf("lane %d, row %d", s.Lane, s.Row)
	if s.Patch > 0 {
		where = fmt.Sprintf("target %d", s.Patch)
	}
	return fmt.Sprintf("%s, %s, %s mm across, %s mm around", s.Ink, where, say.Fixed(s.AtMM[0], 2), say.Fixed(s.AtMM[1], 2))
}
