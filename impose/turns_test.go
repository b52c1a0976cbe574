package impose

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/verify"
	"quoin/impose/witness"
)

// windings are the worked job with an artwork for each winding, in so many lanes.
func windings(t *testing.T, size geometry.Size, words ...string) *job.Job {
	t.Helper()
	j := w1(t, 1)
	j.Turns, j.Artworks, j.Windings = nil, nil, 2
	for i, text := range words {
		w, err := geometry.ParseWinding(text)
		if err != nil {
			t.Fatal(err)
		}
		j.Artworks = append(j.Artworks, job.Artwork{
			File: witness.PlainLabel(t, size.Across.MM(), size.Around.MM(), []string{"1 0 0 0", "0 1 0 0", "0 0 1 0", "0 0 0 1"}[i]), Page: 1, Quantity: 600, LaneCount: 1, Winding: &w,
		})
	}
	return j
}

// TestLanesTurnAsTheirWindingsNeed: behind a finishing line the top leads where the
// label stands upright, and the bottom where it stands upside down (winding_test.go).
// The written file is proved, and a summary that says another turn is refused.
func TestLanesTurnAsTheirWindingsNeed(t *testing.T) {
	j := windings(t, geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre}, "face out, top leads", "face in, bottom leads", "face in, top leads")
	im, out := imposed(t, j)
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, st := range s.Stations {
		if want := []int{0, 180, 0}[st.Lane-1]; st.TurnDeg != want {
			t.Fatalf("lane %d, row %d is turned %d degrees, want %d", st.Lane, st.Row, st.TurnDeg, want)
		}
	}
	if s.Winding != nil || s.Artworks[1].Winding == nil || s.Artworks[1].Winding.Text != "face in, bottom leads" || s.Artworks[1].Winding.TurnDeg != 180 || *s.Lanes[1].TurnDeg != 180 || *s.Lanes[2].TurnDeg != 0 {
		t.Errorf("winding %+v, artworks %+v, lanes %+v", s.Winding, s.Artworks, s.Lanes)
	}
	var text strings.Builder
	if err := s.Text(&text); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"turned 0 degrees in lanes 1 and 3 and 180 degrees in lane 2", "product 2: face in, bottom leads", "; turned 180 degrees"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the text lacks %q:\n%s", want, text.String())
		}
	}
	var b bytes.Buffer
	if err := say.JSON(&b, s); err != nil {
		t.Fatal(err)
	}
	plan, err := verify.ParseExpected("turned.json", bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	r, err := verify.File(t.Context(), out, plan, verify.Options{Summary: filepath.Join(filepath.Dir(out), "s.json")})
	if err != nil || len(r.Differences) > 0 {
		t.Errorf("%v %+v", err, r)
	}
	for i := range strings.Count(b.String(), `"turn_deg": 180`) {
		parts := strings.SplitN(b.String(), `"turn_deg": 180`, i+2)
		changed := strings.Join(parts[:i+1], `"turn_deg": 180`) + `"turn_deg": 0` + parts[i+1]
		plan, err := verify.ParseExpected("turned.json", strings.NewReader(changed))
		if err == nil {
			if r, err := verify.File(t.Context(), out, plan, verify.Options{Summary: out}); err == nil && len(r.Differences) == 0 {
				t.Errorf("turn %d of the summary is another, and nobody sees it", i+1)
			}
		}
	}
}

// TestSquareLanesTurnByQuarters: a square label takes the same place whichever edge
// leads; a rectangle doesn't.
func TestSquareLanesTurnByQuarters(t *testing.T) {
	all := []string{"face out, top leads", "face out, right leads", "face out, bottom leads", "face out, left leads"}
	j := windings(t, geometry.Size{Across: 50 * geometry.Millimetre, Around: 50 * geometry.Millimetre}, all...)
	s := summaryOf(t, j)
	if got := fmt.Sprint(*s.Lanes[0].TurnDeg, *s.Lanes[1].TurnDeg, *s.Lanes[2].TurnDeg, *s.Lanes[3].TurnDeg); got != "0 90 180 270" {
		t.Errorf("turns %s", got)
	}
	j = windings(t, geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre}, all[:2]...)
	if _, err := Open(t.Context(), j); err == nil || say.KindOf(err) != say.NotFit || !strings.Contains(err.Error(), "takes another place then") {
		t.Errorf("a rectangle turned by a quarter: %v", err)
	}
}

// TestIrregularCutForbidsTurnedLanes: a triangle upside down is another cut.
func TestIrregularCutForbidsTurnedLanes(t *testing.T) {
	dir := t.TempDir()
	mm := geometry.Millimetre
	for name, points := range map[string]string{"triangle": "0,75 50,75 25,0", "rhomb": "0,37.5 25,0 50,37.5 25,75"} {
		path := filepath.Join(dir, name+".svg")
		svg := `<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="75mm" viewBox="0 0 50 75"><polygon points="` + points + `" fill="none" stroke="black"/></svg>`
		if err := os.WriteFile(path, []byte(svg), 0o666); err != nil {
			t.Fatal(err)
		}
		j := windings(t, geometry.Size{Across: 50 * mm, Around: 75 * mm}, "face out, top leads", "face out, bottom leads")
		j.Shape, j.Outline, j.Label = geometry.ShapeOutline, path, geometry.Size{Across: 50 * mm, Around: 75 * mm}
		im, err := Open(t.Context(), j)
		if im != nil {
			im.Close()
		}
		if triangle := name == "triangle"; (err != nil) != triangle || triangle && !strings.Contains(err.Error(), "not the same when turned") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestWindingOfAnArtworkIsChecked: records run along the web, a nested layout decides
// for itself, and a turn that the job doesn't allow is no turn.
func TestWindingOfAnArtworkIsChecked(t *testing.T) {
	for what, edit := range map[string]func(*job.Job){
		"records run along the web": func(j *job.Job) { j.Data = &job.Data{} },
		"a nested layout decides":   func(j *job.Job) { j.Nest = true },
		"windings: is missing":      func(j *job.Job) { j.Windings, j.Press = 0, nil },
		"must be turned by 180":     func(j *job.Job) { j.Turns = []geometry.Turn{geometry.Turn0} },
	} {
		j := windings(t, geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre}, "face out, top leads", "face out, bottom leads")
		if err := j.Validate(); err != nil {
			t.Fatal(err)
		}
		edit(j)
		var wrong *job.FileError
		if err := j.Validate(); !errors.As(err, &wrong) || !strings.Contains(err.Error(), what) {
			t.Errorf("%s: %v", what, err)
		}
	}
	// Of the turns that a job allows, its winding takes the one that it needs.
	j := windings(t, geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre}, "face out, bottom leads")
	j.Turns = []geometry.Turn{geometry.Turn0, geometry.Turn180}
	if s := summaryOf(t, j); s.Stations[0].TurnDeg != 180 {
		t.Errorf("turned %d degrees", s.Stations[0].TurnDeg)
	}
}
