package impose

import (
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/job"
	"quoin/impose/say"
)

// mixedJob lays three artworks in 2 lanes of 4 rows.
func mixedJob(counts ...int) *job.Job {
	j := job.New()
	j.WebWidth, j.Label, j.Bleed = 150*geometry.Millimetre, geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre}, 0
	j.Turns = []geometry.Turn{geometry.Turn0}
	j.Repeat = job.Repeat{Longest: 320 * geometry.Millimetre}
	for i, n := range counts {
		name := []string{"juice", "cider", "perry"}[i]
		j.Artworks = append(j.Artworks, job.Artwork{
			File: "../samples/artwork/orchard-" + name + ".pdf", Page: 1, Product: name, Quantity: int64(100 * n), StationCount: n,
		})
	}
	return j
}

func TestStationsAreFilledLaneByLane(t *testing.T) {
	im, err := Open(t.Context(), mixedJob(3, 2, 2))
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	// Lane 1: juice juice juice cider; lane 2: cider perry perry blank.
	want := []int{0, 1, 0, 2, 0, 2, 1, -1} // row by row
	if !slices.Equal(im.Places, want) || !slices.Equal(im.lanes, []int{mixedLane, mixedLane}) {
		t.Errorf("places %v, lanes %v", im.Places, im.lanes)
	}
	if got := im.laneNames(); !slices.Equal(got, []string{"juice + cider", "cider + perry"}) {
		t.Errorf("lanes are called %q", got)
	}
	placed := map[int]int{}
	for _, item := range im.Frame.Items {
		if p, ok := item.(draw.Place); ok {
			placed[p.Art]++
		}
	}
	if placed[0] != 3 || placed[1] != 2 || placed[2] != 2 {
		t.Errorf("placed %v", placed)
	}
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	if s.Run.Frames != 100 || s.Lanes[0].Labels != 400 || s.Lanes[1].Labels != 300 || s.Lanes[0].Artwork != 0 ||
		!slices.Equal(s.Lanes[0].Artworks, []int{1, 2}) || !slices.Equal(s.Artworks[1].Lanes, []int{1, 2}) || s.Artworks[2].Labels != 200 {
		t.Errorf("run %+v, lanes %+v, artworks %+v", s.Run, s.Lanes, s.Artworks)
	}
	if !slices.ContainsFunc(s.Warnings, func(w say.Note) bool { return w.Code == "mixed-lane" }) {
		t.Error("nothing warns of mixed lanes")
	}
}

func TestStationsThatCannotBe(t *testing.T) {
	half := mixedJob(3, 2)
	half.Artworks[1].StationCount = 0
	for want, j := range map[string]*job.Job{"more than the frame's 8": mixedJob(5, 4), "others don't": half} {
		if _, err := Open(t.Context(), j); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}
