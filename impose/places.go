package impose

import (
	"fmt"
	"slices"
	"strings"

	"quoin/impose/job"
)

// MixedLane stands in Imposition.Lanes for a lane that carries several
// artworks.
const MixedLane = -2

// share gives every station its artwork: by whole lanes or, where the job
// counts stations, along one lane after the other.
func (im *Imposition) share() (err error) {
	l := im.Layout
	im.Places = make([]int, len(l.Station))
	if !slices.ContainsFunc(im.Job.Artworks, func(a job.Artwork) bool { return a.StationCount > 0 }) {
		if im.Lanes, err = shareLanes(im.Job.Artworks, l.Across); err != nil {
			return err
		}
		for i, s := range l.Station {
			im.Places[i] = im.Lanes[s.Lane-1]
		}
		return nil
	}
	order, err := stationOrder(im.Job.Artworks, len(l.Station))
	if err != nil {
		return err
	}
	im.Lanes = make([]int, l.Across)
	next := 0
	for lane := 1; lane <= l.Across; lane++ {
		first := true
		for i, s := range l.Station {
			if s.Lane != lane {
				continue
			}
			im.Places[i] = order[next]
			if next++; first {
				im.Lanes[lane-1] = im.Places[i]
			} else if im.Lanes[lane-1] != im.Places[i] {
				im.Lanes[lane-1] = MixedLane
			}
			first = false
		}
	}
	var mixed []int
	for i, art := range im.Lanes {
		if art == MixedLane {
			mixed = append(mixed, i+1)
		}
	}
	if len(mixed) > 0 {
		im.warn("mixed-lane", "several products share lane %s: mark each change on the web, and sort the labels before they are wound for the customer", laneList(mixed))
	}
	return nil
}

// stationOrder gives the artworks of so many stations; those left are -1.
func stationOrder(artworks []job.Artwork, stations int) ([]int, error) {
	order := make([]int, 0, stations)
	for i, a := range artworks {
		if a.StationCount < 1 || a.LaneCount > 0 || len(a.LaneList) > 0 {
			return nil, &LaneError{"some artworks count stations and others don't", "count stations for all artworks, or for none"}
		}
		if len(order)+a.StationCount > stations {
			return nil, &LaneError{fmt.Sprintf("the artworks up to %s take more than the frame's %d stations", a.File, stations), "ask for fewer stations"}
		}
		order = append(order, slices.Repeat([]int{i}, a.StationCount)...)
	}
	return append(order, slices.Repeat([]int{-1}, stations-len(order))...), nil
}

// inLane lists the artworks of a lane, each once, in the order of its rows.
func (im *Imposition) inLane(lane int) []int {
	var arts []int
	for i, s := range im.Layout.Station {
		if art := im.Places[i]; s.Lane == lane && art >= 0 && !slices.Contains(arts, art) {
			arts = append(arts, art)
		}
	}
	return arts
}

// laneNames says for the slug what each lane carries.
func (im *Imposition) laneNames() []string {
	names := make([]string, len(im.Lanes))
	for i := range names {
		var parts []string
		for _, art := range im.inLane(i + 1) {
			parts = append(parts, productOf(im.Job.Artworks[art]))
		}
		names[i] = strings.Join(parts, " + ")
	}
	return names
}
