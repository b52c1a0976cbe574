package impose

import (
	"math"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
)

// onDie is w1 on a die of 6 x 4 on 100 teeth of 1/8 inch: three turns of
// 317.5 mm make a frame of 952.5 mm, with gaps of 317.5/4 - 75 = 4.375 mm.
func onDie(t *testing.T) *job.Job {
	t.Helper()
	const dies = `dies: [{number: 0101, size: 50x75mm, radius: 3mm, lanes: 6, rows: 4, gap: 3x4.375mm, teeth: 100, pitch: 1/8in, station: full-rotary, place: rack A1}]`
	library, err := job.ParseDies("dies.yaml", []byte(dies))
	if err != nil {
		t.Fatal(err)
	}
	j := w1(t, 2)
	j.Dies, j.Die = library, "0101"
	return j
}

func TestDieGivesTheGrid(t *testing.T) {
	s := summaryOf(t, onDie(t))
	l := s.Layout
	if l.Across != 6 || l.Around != 12 || l.RepeatMM != 952.5 || l.GapAcrossMM != 3 || l.GapAroundMM != 4.375 {
		t.Errorf("%+v", l)
	}
	if d := s.Die; d == nil || d.TurnsPerFrame != 3 || d.WalkMM != 0 || d.RepeatMM != 317.5 || d.Place != "rack A1" || !strings.Contains(d.Cylinder, "100 teeth") {
		t.Errorf("%+v", d)
	}
	// 72 x (3750 - (4 - pi) 9) of 340 x 952.5 mm
	if want := 100 * 72 * (3750 - (4-math.Pi)*9) / (340 * 952.5); math.Abs(l.LabelPercent-want) > 1e-9 {
		t.Errorf("labels take %v %%, want %v", l.LabelPercent, want)
	}
}

func TestDieThatDoesNotSuit(t *testing.T) {
	for _, c := range []struct {
		why    string
		change func(*job.Job)
	}{
		{"size", func(j *job.Job) { j.Dies.Dies[0].Size.Across -= geometry.Millimetre }},
		{"radius", func(j *job.Job) { r := geometry.Millimetre; j.Radius = &r }},
		{"turn", func(j *job.Job) { j.Turns = []geometry.Turn{geometry.Turn90} }},
		{"too-long", func(j *job.Job) { j.Repeat.Longest = 300 * geometry.Millimetre }},
		{"station-kind", func(j *job.Job) {
			j.Press = &job.Press{Speeds: []job.SpeedStep{{Inks: 6}}, Finishing: job.Finishing{Stations: []geometry.DieStation{{Kind: geometry.FlatBed}}}}
		}},
		{"count", func(j *job.Job) { j.Lanes = 5 }},
		{"count", func(j *job.Job) { j.Rows = 4 }},
		{"edge-matrix", func(j *job.Job) { m := 150 * geometry.Millimetre; j.EdgeMatrix = &m }},
	} {
		j := onDie(t)
		c.change(j)
		_, err := Open(t.Context(), j)
		var codes []string
		if e, ok := err.(*geometry.NotFitError); ok {
			for _, r := range e.Reasons {
				codes = append(codes, r.Code)
			}
		}
		if got := strings.Join(codes, " "); got != c.why {
			t.Errorf("%s: %v (%s)", c.why, err, got)
		}
	}
	j := onDie(t)
	j.Dies.Dies[0].Condition = geometry.DieWorn
	if s := summaryOf(t, j); !warned(s, "condition") {
		t.Errorf("a worn die: %+v", s.Warnings)
	}
	// 315 mm and twice 20 mm are more than the web of 340 mm; five lanes are 262 mm.
	j, m := onDie(t), 20*geometry.Millimetre
	j.EdgeMatrix = &m
	if _, err := Open(t.Context(), j); err == nil || !strings.Contains(err.Error(), "need 355 mm, the web gives 340 mm") {
		t.Errorf("a die wider than the web: %v", err)
	}
	j.UnusedLanes = new(true)
	if s := summaryOf(t, j); s.Layout.Across != 5 || !warned(s, geometry.CodeLanesUnused) {
		t.Errorf("a die too wide by one lane: %d lanes, %+v", s.Layout.Across, s.Warnings)
	}
}
