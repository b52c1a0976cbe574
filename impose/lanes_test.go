package impose

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"quoin/impose/job"
)

func TestShareLanes(t *testing.T) {
	for _, c := range []struct {
		name     string
		artworks []job.Artwork
		across   int
		want     []int
	}{
		{"one artwork takes all", []job.Artwork{{Quantity: 9}}, 3, []int{0, 0, 0}},
		// 10,000, 5,000 and 2,500 labels on six lanes: whole lanes 3, 2, 1 make
		// the shortest run, calculated.
		{"by quantity", []job.Artwork{{Quantity: 10000}, {Quantity: 5000}, {Quantity: 2500}}, 6, []int{0, 0, 0, 1, 1, 2}},
		{"counted", []job.Artwork{{LaneCount: 1}, {LaneCount: 2}}, 3, []int{0, 1, 1}},
		{"named around counted", []job.Artwork{{LaneList: []int{2}}, {LaneCount: 2}}, 3, []int{1, 0, 1}},
		{"named lanes leave a blank", []job.Artwork{{LaneList: []int{1}}, {LaneList: []int{3}}}, 3, []int{0, -1, 1}},
	} {
		got, err := shareLanes(c.artworks, c.across)
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, %v; want %v", c.name, got, err, c.want)
		}
	}
}

func TestLanesThatCannotBe(t *testing.T) {
	for want, artworks := range map[string][]job.Artwork{
		"asks for lane 4":     {{File: "a.pdf", LaneList: []int{4}}},
		"both ask for lane 2": {{File: "a.pdf", LaneList: []int{2}}, {File: "b.pdf", LaneList: []int{2}}},
		"need 1 lane more":    {{LaneCount: 2}, {LaneCount: 2}},
		"need 2 lanes more":   make([]job.Artwork, 5),
	} {
		_, err := shareLanes(artworks, 3)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want an error with %q", err, want)
		}
	}
}

// The run is as long as its longest lane; no other way to share the lanes
// makes it shorter.
func TestSharedLanesMakeTheShortestRun(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(t, "artworks")
		across := rapid.IntRange(n, 8).Draw(t, "across")
		artworks := make([]job.Artwork, n)
		for i := range artworks {
			artworks[i].Quantity = rapid.Int64Range(1, 1000).Draw(t, "quantity")
		}
		lanes, err := shareLanes(artworks, across)
		if err != nil {
			t.Fatal(err)
		}
		counts := make([]int64, n)
		for _, art := range lanes {
			counts[art]++
		}
		if got, want := longest(artworks, counts), shortestOf(artworks, make([]int64, n), 0, int64(across)); got != want {
			t.Fatalf("lanes %v make a run of %d, %d is possible", lanes, got, want)
		}
	})
}

// longest gives the labels of the longest lane.
func longest(artworks []job.Artwork, counts []int64) (most int64) {
	for i, c := range counts {
		most = max(most, (artworks[i].Quantity+c-1)/c)
	}
	return most
}

// shortestOf tries every way to share the lanes.
func shortestOf(artworks []job.Artwork, counts []int64, i int, left int64) int64 {
	if i == len(counts) {
		return longest(artworks, counts)
	}
	best := int64(1 << 62)
	for c := int64(1); c <= left-int64(len(counts)-1-i); c++ {
		counts[i] = c
		best = min(best, shortestOf(artworks, counts, i+1, left-c))
	}
	return best
}
