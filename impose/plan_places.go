package impose

import (
	"slices"
	"strconv"
	"strings"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/say"
)

// mixedLane stands in Planned.lanes for a lane that carries several artworks.
const mixedLane = -2

// shareStations gives every station its artwork: by whole lanes or, where the
// job counts stations, along one lane after the other.
func shareStations(artworks []job.Artwork, l *geometry.Layout) (lanes, places []int, said remarks, err error) {
	if !slices.ContainsFunc(artworks, func(a job.Artwork) bool { return a.StationCount > 0 }) {
		if lanes, err = shareLanes(artworks, l.Across); err != nil {
			return nil, nil, said, err
		}
		return lanes, wholeLanes(lanes, l), said, nil
	}
	order, err := stationOrder(artworks, len(l.Station))
	if err != nil {
		return nil, nil, said, err
	}
	lanes, places = alongLanes(order, l)
	var mixed []string
	for i, art := range lanes {
		if art == mixedLane {
			mixed = append(mixed, strconv.Itoa(i+1))
		}
	}
	if len(mixed) > 0 {
		shared := "lane " + mixed[0]
		if len(mixed) > 1 {
			shared = "lanes " + say.List(mixed)
		}
		said.warn(codeMixedLane, "several products share %s: mark each change on the web, and sort the labels before they are wound for the customer",
			shared)
	}
	return lanes, places, said, nil
}

// wholeLanes gives every station the artwork of its lane.
func wholeLanes(lanes []int, l *geometry.Layout) []int {
	places := make([]int, len(l.Station))
	for i, s := range l.Station {
		places[i] = lanes[s.Lane-1]
	}
	return places
}

// alongLanes gives the stations their artworks in the order given, along one lane
// after the other.
func alongLanes(order []int, l *geometry.Layout) (lanes, places []int) {
	lanes, places = make([]int, l.Across), make([]int, len(l.Station))
	next := 0
	for lane := 1; lane <= l.Across; lane++ {
		first := true
		for i, s := range l.Station {
			if s.Lane != lane {
				continue
			}
			places[i] = order[next]
			if next++; first {
				lanes[lane-1] = places[i]
			} else if lanes[lane-1] != places[i] {
				lanes[lane-1] = mixedLane
			}
			first = false
		}
	}
	return lanes, places
}

// stationOrder returns the artworks of so many stations; those left are -1.
func stationOrder(artworks []job.Artwork, stations int) ([]int, error) {
	order := make([]int, 0, stations)
	for i, a := range artworks {
		if a.StationCount < 1 || a.LaneCount > 0 || len(a.LaneList) > 0 {
			return nil, say.Refuse(say.NotFit, "count stations for all artworks, or for none", "some artworks count stations and others don't")
		}
		if len(order)+a.StationCount > stations {
			return nil, say.Refuse(say.NotFit, "ask for fewer stations", "the artworks up to %s take more than the frame's %s", a.File, say.Count(stations, "station"))
		}
		order = append(order, slices.Repeat([]int{i}, a.StationCount)...)
	}
	return append(order, slices.Repeat([]int{-1}, stations-len(order))...), nil
}

// inLane lists the artworks of a lane, each once, in the order of its rows.
func (p *Planned) inLane(lane int) []int {
	var arts []int
	for i, s := range p.Layout.Station {
		if art := p.Places[i]; s.Lane == lane && art >= 0 && !slices.Contains(arts, art) {
			arts = append(arts, art)
		}
	}
	return arts
}

// LanesOf returns the lanes that carry an artwork, from 1, those among them that it
// shares with others.
func LanesOf(p *Planned, art int) []int {
	var lanes []int
	for lane := 1; lane <= p.Layout.Across; lane++ {
		if slices.Contains(p.inLane(lane), art) {
			lanes = append(lanes, lane)
		}
	}
	return lanes
}

// laneNames says for the slug what each lane carries.
func (p *Planned) laneNames() []string {
	names := make([]string, len(p.lanes))
	for i := range names {
		var parts []string
		for _, art := range p.inLane(i + 1) {
			a := p.Job.Artworks[art]
			if a.Product != "" {
				parts = append(parts, a.Product)
			} else {
				parts = append(parts, bareName(a.File))
			}
		}
		names[i] = strings.Join(parts, " + ")
	}
	return names
}
