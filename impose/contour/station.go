package contour

import (
	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/draw"
)

// Placed returns the label's outline as it stands on a station; o is that of the
// upright label.
func Placed(o outline.Outline, s geometry.Station) outline.Outline {
	return o.Turned(s.Turn).At(s.Trim.Min)
}

// FrameSheet returns the cutting data of a frame: the outline on every station,
// each once; on gives that of a station's upright label. A label across the frame's seam reaches over the end of the sheet,
// as the tool's edge does.
func FrameSheet(on func(geometry.Station) outline.Outline, l *geometry.Layout) Sheet {
	s := Sheet{
		Size:   geometry.Size{Across: l.Web.Width, Around: l.Repeat},
		Layers: []Layer{{Name: Cut, Outlines: make([]outline.Outline, len(l.Station))}},
	}
	for i, st := range l.Station {
		s.Layers[0].Outlines[i] = Placed(on(st), st)
	}
	return s
}

// Clips returns the path along which each station of a shaped layout is clipped:
// the label's outline grown by the bleed that there is room for.
func Clips(o outline.Outline, l *geometry.Layout) ([]draw.Path, error) {
	type key struct {
		room geometry.Length
		turn geometry.Turn
	}
	made := map[key]outline.Outline{}
	paths := make([]draw.Path, len(l.Station))
	for i, s := range l.Station {
		k := key{s.Room(), s.Turn}
		grown, ok := made[k]
		if !ok {
			var err error
			if grown, err = o.Outset(k.room); err != nil {
				return nil, err
			}
			// Turned about the label, so that both keep their places to each other.
			grown = grown.Turned(s.Turn)
			made[k] = grown
		}
		label := o.Turned(s.Turn).Bounds().Min
		paths[i] = Path(grown).Moved(geometry.Size{Across: s.Trim.Min.Across - label.Across, Around: s.Trim.Min.Around - label.Around})
	}
	return paths, nil
}
