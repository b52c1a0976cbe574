package plan

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

const twoWindings = "order,quantity,label,winding,inks\nA,6000,50x75mm,\"face out, top leads\",C;M;Y;K\nB,6000,50x75mm,\"face out, bottom leads\",C;M;Y;K\n"

// woundRules are those of the worked job with 3 % run waste, wound up twice.
func woundRules() *night.Rules {
	r := nighttest.Rules()
	waste := 3 * geometry.Percent
	r.House.Run.RunWaste, r.House.Windings = &waste, 2
	return r
}

// TestTurnedLanesShareARun: alone, 6,000 labels take 84 frames of 6 lanes x 12 rows,
// 78.8004 m and 3 % more, and 60 m of make-ready: 141.1644 m, twice 282.3288 m. With
// three lanes each they take 167 frames: 156.6627 m, 161.3626 m and one make-ready,
// 221.3626 m. Worked by hand.
func TestTurnedLanesShareARun(t *testing.T) {
	p := made(t, nighttest.Orders(t, twoWindings), woundRules())
	if got := fmt.Sprintf("%.4f %.4f", p.Alone.WebM, p.Total.WebM); got != "282.3288 221.3626" || len(p.Runs) != 1 || !p.Proved {
		t.Fatalf("%s m in %d runs, proved %v", got, len(p.Runs), p.Proved)
	}
	run := &p.Runs[0]
	for _, s := range run.Orders {
		if want := map[string]int{"A": 0, "B": 180}[s.Order]; s.TurnDeg == nil || *s.TurnDeg != want {
			t.Errorf("%s: turned %v, want %d", s.Order, s.TurnDeg, want)
		}
	}
	if got := fmt.Sprint(p.Groups[0].TurnsDeg); got != "[0 180]" {
		t.Errorf("the group's turns are %s", got)
	}
	j := p.Job(run)
	for i, s := range run.Orders {
		if turn, said := j.TurnOf(i); !said || turn.Degrees() != *s.TurnDeg {
			t.Errorf("%s: the job turns it %v", s.Order, turn)
		}
	}
	if err := j.Validate(); err != nil && len(j.Artworks) > 0 && j.Artworks[0].File != "" {
		t.Error(err)
	}
}

// TestWhatForbidsTurnedLanes: a rectangle turned by a quarter takes another place;
// records run one way; an irregular cut is one way. A square shares all ways.
func TestWhatForbidsTurnedLanes(t *testing.T) {
	quarter := "order,quantity,label,winding,inks\nA,6000,%[1]s,\"face out, top leads\",K\nB,6000,%[1]s,\"face out, right leads\",K\n"
	for _, c := range []struct {
		name, orders string
		rule         func(*night.Rules)
		runs         int
	}{
		{"a rectangle by a quarter", fmt.Sprintf(quarter, "50x75mm"), func(*night.Rules) {}, 2},
		{"a square by a quarter", fmt.Sprintf(quarter, "50x50mm"), func(*night.Rules) {}, 1},
		{"records", twoWindings, func(r *night.Rules) { r.House.Data = &job.Data{} }, 2},
		{"a triangle", twoWindings, cutAs(t, "0,75 50,75 25,0"), 2},
		{"a rhomb", twoWindings, cutAs(t, "0,37.5 25,0 50,37.5 25,75"), 1},
	} {
		r := woundRules()
		c.rule(r)
		p := made(t, nighttest.Orders(t, c.orders), r)
		if len(p.Runs) != c.runs || len(p.Unplanned) > 0 {
			t.Errorf("%s: %d runs, want %d; left out %v", c.name, len(p.Runs), c.runs, p.Unplanned)
		}
	}
}

// cutAs lets the labels of the night be cut along a polygon of 50 x 75 mm.
func cutAs(t *testing.T, points string) func(*night.Rules) {
	dir := t.TempDir()
	svg := `<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="75mm" viewBox="0 0 50 75"><polygon points="` + points + `" fill="none" stroke="black"/></svg>`
	if err := os.WriteFile(filepath.Join(dir, "cut.svg"), []byte(svg), 0o666); err != nil {
		t.Fatal(err)
	}
	return func(r *night.Rules) {
		r.House.Dir, r.House.Shape, r.House.Outline = dir, geometry.ShapeOutline, "cut.svg"
	}
}
