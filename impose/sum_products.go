package impose

import (
	"slices"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/press"
	"quoin/impose/summary"
)

// demands returns what each artwork must yield, and how many of its stations
// stand on the frame.
func demands(p *Planned) []geometry.Demand {
	list := make([]geometry.Demand, len(p.Job.Artworks))
	for i, a := range p.Job.Artworks {
		list[i].Quantity = a.Quantity
		if p.Layout.Widths != nil {
			list[i].Area = job.LabelArea(p.Job, p.LabelSize(i))
		}
	}
	for _, art := range p.Places {
		if art >= 0 {
			list[art].Places++
		}
	}
	if !job.Ordered(p.Job) { // one frame
		for i := range list {
			list[i].Quantity = int64(list[i].Places)
		}
	}
	return list
}

// orderedLabels returns the labels of all artworks that are ordered.
func orderedLabels(j *job.Job) (n int64) {
	for _, a := range j.Artworks {
		n += a.Quantity
	}
	return n
}

// sumProducts says what each artwork and each lane yields.
func sumProducts(p *Planned, w Written, frames int64, demands []geometry.Demand) (artworks []summary.Artwork, lanes []summary.Lane) {
	artworks, lanes = []summary.Artwork{}, []summary.Lane{}
	for i, a := range p.Job.Artworks {
		page, made := p.Pages[i], frames*int64(demands[i].Places)
		artworks = append(artworks, summary.Artwork{
			Artwork: i + 1, File: a.File, Path: fileName(p.files, w, page.File.Path), Page: page.Number, Product: a.Product,
			Lanes: []int{}, Ordered: a.Quantity, Labels: made, Overs: made - a.Quantity,
		})
		if page.Doc.Restricted() {
			artworks[i].PermittedBy = leaveFor(p.Job, page.File, p.Pages)
		}
		if !job.Ordered(p.Job) {
			artworks[i].Overs = 0
		}
		if p.Job.WindingsDiffer() {
			artworks[i].Winding = sumWindingOf(p.Job, i, p.Layout.Station[slices.Index(p.Places, i)].Turn)
		}
		if p.Layout.Widths != nil {
			label := p.LabelSize(i)
			artworks[i].LabelMM = &[2]float64{label.Across.MM(), label.Around.MM()}
		}
	}
	for lane := 1; lane <= p.Layout.Across; lane++ {
		part := sumLane(p, lane, frames)
		for _, art := range p.inLane(lane) {
			artworks[art].Lanes = append(artworks[art].Lanes, lane)
			if p.lanes[lane-1] == mixedLane {
				part.Artworks = append(part.Artworks, art+1)
			}
		}
		lanes = append(lanes, part)
	}
	if lanesTurned(p) {
		for lane := range lanes {
			lanes[lane].TurnDeg = laneTurn(p, lane+1)
		}
	}
	return artworks, lanes
}

// lanesTurned reports whether stations of the straight grid stand at several turns.
func lanesTurned(p *Planned) bool {
	return p.nested == nil && slices.ContainsFunc(p.Layout.Station, func(s geometry.Station) bool { return s.Turn != p.Layout.Turn })
}

// laneTurn returns the turn of a lane's labels in degrees; nil where it is blank, or
// several stand in it.
func laneTurn(p *Planned, lane int) (turn *int) {
	for i, s := range p.Layout.Station {
		if s.Lane != lane || p.Places[i] < 0 {
			continue
		}
		if turn != nil && *turn != s.Turn.Degrees() {
			return nil
		}
		turn = new(s.Turn.Degrees())
	}
	return turn
}

// sumLane says where a lane lies and what it yields.
func sumLane(p *Planned, lane int, frames int64) summary.Lane {
	var box geometry.Box
	rows := int64(0)
	for i, st := range p.Layout.Station {
		if st.Lane == lane {
			box = box.Union(st.Trim)
			if p.Places[i] >= 0 {
				rows++
			}
		}
	}
	return summary.Lane{
		Lane: lane, FinishingLane: finishingLane(p.Job, p.Layout, lane), Artwork: max(p.lanes[lane-1]+1, 0),
		LeftMM: box.Min.Across.MM(), RightMM: box.Max.Across.MM(), Labels: frames * rows,
	}
}

// sumStations says where each label stands, and which are painted once more at
// the frame's other end.
func sumStations(im *Imposition) (stations, seam []summary.Station) {
	stations = []summary.Station{}
	labels := placements(im.Frame)
	for i, st := range im.Layout.Station {
		art := im.Places[i]
		if art < 0 {
			continue
		}
		for _, move := range paintings(im.Layout, st) {
			part := summary.Station{
				Lane: st.Lane, Row: st.Row, TurnDeg: st.Turn.Degrees(),
				Artwork: im.Job.Artworks[art].File, Page: im.Pages[art].Number,
				TrimPt: press.BoxPoints(st.Trim.Moved(move), im.Layout.Repeat),
				ClipPt: press.BoxPoints(st.Clip.Moved(move), im.Layout.Repeat),
			}
			if im.Layout.Shaped {
				part.ClipShape, part.ClipPath = "outline", pathOnPage(im, labels[0].Clip)
			}
			labels = labels[1:]
			if move == (geometry.Size{}) {
				stations = append(stations, part)
			} else {
				seam = append(seam, part)
			}
		}
	}
	return stations, seam
}

// sumTargets says where each patch stands.
func sumTargets(im *Imposition) []summary.Target {
	parts := []summary.Target{}
	for _, p := range im.Patches {
		t := summary.Target{
			Number: p.Number, What: string(p.What), Inks: []summary.Tint{}, Side: string(p.Side), Lane: p.Lane,
			BoxMM: [4]float64{p.Box.Min.Across.MM(), p.Box.Min.Around.MM(), p.Box.Max.Across.MM(), p.Box.Max.Around.MM()},
			BoxPt: press.BoxPoints(p.Box, im.Layout.Repeat),
		}
		for _, tint := range p.Tints {
			t.Inks = append(t.Inks, summary.Tint{Ink: tint.Ink, TintPercent: 100 * tint.Amount})
		}
		parts = append(parts, t)
	}
	return parts
}
