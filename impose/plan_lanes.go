package impose

import (
	"quoin/impose/job"
	"quoin/impose/say"
)

// lanesWanted returns how many lanes the artworks ask for in so many words, and
// 0 when at least one of them leaves it open.
func lanesWanted(artworks []job.Artwork) int {
	total := 0
	for _, a := range artworks {
		switch {
		case a.LaneCount > 0:
			total += a.LaneCount
		case len(a.LaneList) > 0:
			for _, l := range a.LaneList {
				total = max(total, l)
			}
		default:
			return 0
		}
	}
	return total
}

// shareLanes says which artwork stands in which lane: index by lane, the first
// lane at the web's left edge. Lanes that a job names are kept; counted lanes
// follow from the left in the order of the job; what is open is shared so that
// the run is shortest. An unused lane, possible only where the job names all
// lanes itself, is -1.
func shareLanes(artworks []job.Artwork, across int) ([]int, error) {
	lanes := make([]int, across)
	for i := range lanes {
		lanes[i] = -1
	}
	free := across
	for i, a := range artworks {
		for _, l := range a.LaneList {
			if l < 1 || l > across {
				return nil, say.Refuse(say.NotFit, "name lanes of the layout, the first is 1 at the web's left edge", "%s asks for lane %d, and the layout has %d", a.File, l, across)
			}
			if other := lanes[l-1]; other >= 0 {
				return nil, say.Refuse(say.NotFit, "give each lane to one artwork", "%s and %s both ask for lane %d", artworks[other].File, a.File, l)
			}
			lanes[l-1] = i
			free--
		}
	}
	counts, err := laneCounts(artworks, free)
	if err != nil {
		return nil, err
	}
	next := 0
	for i, n := range counts {
		for ; n > 0; n-- {
			for lanes[next] >= 0 {
				next++
			}
			lanes[next] = i
		}
	}
	return lanes, nil
}

// laneCounts returns how many of the free lanes each artwork without named lanes
// gets. Handing each further lane to the artwork with the most labels a lane
// makes the longest lane as short as it can be.
func laneCounts(artworks []job.Artwork, free int) ([]int, error) {
	counts := make([]int, len(artworks))
	var open []int
	for i, a := range artworks {
		switch {
		case len(a.LaneList) > 0:
		case a.LaneCount > 0:
			counts[i] = a.LaneCount
			free -= a.LaneCount
		default:
			counts[i] = 1
			free--
			open = append(open, i)
		}
	}
	if free < 0 {
		return nil, say.Refuse(say.NotFit, "take an artwork out, ask for fewer lanes, or build gang runs with quoin gang",
			"the artworks need %s more than the layout has", say.Count(-free, "lane"))
	}
	for ; free > 0 && len(open) > 0; free-- {
		most := open[0]
		for _, i := range open[1:] {
			if max(artworks[i].Quantity, 1)*int64(counts[most]) > max(artworks[most].Quantity, 1)*int64(counts[i]) {
				most = i
			}
		}
		counts[most]++
	}
	return counts, nil
}
