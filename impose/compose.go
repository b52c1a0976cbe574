package impose

import (
	"quoin/geometry"
	"quoin/impose/draw"
)

// compose fills the frame: the artworks first, then what the engine adds.
// Marks come last, so that nothing paints over them (ISO 32000-2 8.6.6.4).
func (im *Imposition) compose() error {
	l := im.Seen()
	im.Frame = draw.Frame{Size: geometry.Size{Across: l.Web.Width, Around: l.Repeat}}
	clips, err := im.clips()
	if err != nil {
		return err
	}
	for i, s := range l.Station {
		art := im.Places[i]
		if art < 0 {
			continue
		}
		for _, move := range im.shifts(s) {
			im.Frame.Items = append(im.Frame.Items, draw.Place{
				Art: art, Trim: s.Trim.Moved(move), Turn: s.Turn, Clip: clips[i].Moved(move),
			})
		}
	}
	if err := im.addCutting(); err != nil {
		return err
	}
	if err := im.addUnderprint(); err != nil {
		return err
	}
	return im.addMarks()
}

// demands gives what each artwork must yield, and how many of its stations
// stand on the frame.
func (im *Imposition) demands() []geometry.Demand {
	list := make([]geometry.Demand, len(im.Job.Artworks))
	for i, a := range im.Job.Artworks {
		list[i].Quantity = a.Quantity
		if im.Layout.Widths != nil {
			list[i].Area = im.Job.LabelArea(im.LabelSize(i))
		}
	}
	for _, art := range im.Places {
		if art >= 0 {
			list[art].Places++
		}
	}
	return list
}
