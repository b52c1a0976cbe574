package ticket

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/witness"
	"quoin/impose/witness/schemas"
)

// of gives the ticket of the sample job with a change.
func of(t *testing.T, change func(*job.Job)) *Ticket {
	t.Helper()
	j, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	change(j)
	im, err := impose.Open(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	s, err := im.Summary(impose.Written{})
	if err != nil {
		t.Fatal(err)
	}
	return From(j, s)
}

// jobs are changes of the sample that bring every part of a ticket to be.
var jobs = map[string]func(*job.Job){
	"sample": func(*job.Job) {},
	"bare": func(j *job.Job) {
		j.Winding, j.Windings, j.Roll, j.Press.Finishing.Windings, j.Material = nil, 0, job.Roll{}, 0, job.Material{}
	},
	"eye mark, splices, flexo": func(j *job.Job) {
		eye, yes, radius := job.DefaultEyeMark(), true, 2*geometry.Millimetre
		j.Marks.Eye, j.Roll.Splices, j.Radius, j.IgnoreDieLine = &eye, &yes, &radius, true
		j.Flexo = &job.FlexoUnit{For: "varnish", Plate: geometry.Plate{Thickness: geometry.Millimetre}}
	},
	"windings of their own": func(j *job.Job) {
		j.Artworks[1].Winding = &geometry.Winding{Face: geometry.FaceIn, Leading: geometry.BottomLeads}
	},
	"rolls of their own": func(j *job.Job) { j.Artworks[0].LabelsPerRoll = 1000 },
	"blank lane": func(j *job.Job) {
		j.Artworks = j.Artworks[:1]
		j.Artworks[0].LaneCount, j.Artworks[0].LaneList, j.Lanes = 0, []int{1, 3}, 3
	},
	"mixed lane": func(j *job.Job) {
		for i := range j.Artworks {
			j.Artworks[i].LaneCount, j.Artworks[i].StationCount = 0, 10
		}
	},
	"die": func(j *job.Job) {
		dies, err := job.ReadDies("../../samples/dies.yaml")
		if err != nil {
			panic(err)
		}
		j.Dies, j.Die = dies, "0101"
	},
}

// TestTicketKeepsItsSchema writes tickets of all kinds, which the schema must
// take, and then spoils each value in turn, which it must refuse. A key that it
// doesn't know is refused as well.
func TestTicketKeepsItsSchema(t *testing.T) {
	s := schemas.File(t, "schema/ticket.schema.json")
	seen := map[string]bool{}
	for _, name := range slices.Sorted(maps.Keys(jobs)) {
		t.Run(name, func(t *testing.T) { maps.Copy(seen, schemas.Keeps(t, s, of(t, jobs[name]))) })
	}
	for _, key := range []string{"die/walk_mm", "flexo/plate_factor", "winding/leading", "eye_mark/track_mm", "roll/splices", "lanes/artworks", "lanes/turn_deg", "products/winding/leading", "products/part_rolls/labels"} {
		if !seen[key] {
			t.Errorf("no ticket has %s", key)
		}
	}
}

// TestLanesAreCSV reads the list back, and compares it with what was worked out
// by hand for the sample: 17,004 labels a lane are 6 rolls of 2,500 and 2,004
// more; after two windings lane 1 of 6 is lane 6.
func TestLanesAreCSV(t *testing.T) {
	ticket := of(t, func(j *job.Job) {
		j.Artworks[1].Product = `Cider "dry", still` + "\nsecond line"
		j.Artworks[2].Product = "Перри 梨"
	})
	var b bytes.Buffer
	if err := ticket.WriteLanes(&b); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(b.String(), "\r\n"); n != 9 { // two of the lines hold a line end of their own
		t.Errorf("%d line ends in %q", n, b.String())
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"1", "6", "Apple juice", "artwork/orchard-juice.pdf", "1", "17004", "6", "2004", "12.5", "62.5", "face out, top leads"}
	if diff := cmp.Diff(want, rows[1]); diff != "" {
		t.Errorf("lane 1 (-want +got):\n%s", diff)
	}
	if got := rows[4][2]; got != "Cider \"dry\", still\nsecond line" {
		t.Errorf("lane 4 carries %q", got)
	}
	if got := rows[6][2]; got != "Перри 梨" {
		t.Errorf("lane 6 carries %q", got)
	}
}

func TestLanesOfEveryKind(t *testing.T) {
	for name, want := range map[string]string{
		"blank lane": "2,2,,,,0,0,0",
		"mixed lane": "Apple juice + Cider",
	} {
		var b bytes.Buffer
		if err := of(t, jobs[name]).WriteLanes(&b); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), want) {
			t.Errorf("%s: no %q in\n%s", name, want, b.String())
		}
	}
}

// TestCountsAgree adds the lanes up to the products.
func TestCountsAgree(t *testing.T) {
	ticket := of(t, jobs["sample"])
	made := map[int]int64{}
	for _, l := range ticket.Lanes {
		made[l.Artworks[0]] += l.Labels
		if sum := l.FullRolls*ticket.Roll.Labels + l.Rest; sum != l.Labels {
			t.Errorf("lane %d: rolls hold %d of %d labels", l.Lane, sum, l.Labels)
		}
	}
	for _, p := range ticket.Products {
		if made[p.Artwork] != p.Labels {
			t.Errorf("%s: lanes make %d, the product %d", p.Name, made[p.Artwork], p.Labels)
		}
	}
	if got := fmt.Sprint(ticket.Roll.DiameterMM); !strings.HasPrefix(got, "207.6") {
		t.Errorf("a full roll is %s mm", got)
	}
}

// TestTicketOfLanesThatDiffer: the label of the ticket is the widest, and each
// product says its own; the lanes' edges are those of the trims. By hand: 50, 50
// and 80 mm with two gaps of 3 are 186, so the block begins at 77 mm of 340.
func TestTicketOfLanesThatDiffer(t *testing.T) {
	ticket := of(t, func(j *job.Job) {
		j.Artworks = j.Artworks[:2]
		j.Artworks[0].LaneCount, j.Artworks[1].LaneCount = 2, 1
		j.Artworks[1].File = witness.PlainLabel(t, 80, 75, "0 1 0 0")
		j.Artworks[1].Label = geometry.Size{Across: 80 * geometry.Millimetre, Around: 75 * geometry.Millimetre}
	})
	var b bytes.Buffer
	if err := ticket.Write(&b); err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(&b)
	if err != nil {
		t.Fatal(err)
	}
	if err := schemas.File(t, "schema/ticket.schema.json").Validate(doc); err != nil {
		t.Error(err)
	}
	if p := ticket.Products; *p[0].LabelMM != [2]float64{50, 75} || *p[1].LabelMM != [2]float64{80, 75} || ticket.Label.AcrossMM != 80 {
		t.Errorf("products %+v, label %+v", p, ticket.Label)
	}
	for i, want := range [][2]float64{{77, 127}, {130, 180}, {183, 263}} {
		if l := ticket.Lanes[i]; [2]float64{l.LeftMM, l.RightMM} != want {
			t.Errorf("lane %d from %g to %g mm, want %v", i+1, l.LeftMM, l.RightMM, want)
		}
	}
}

// TestProductsSayTheirOwnRolls: no one figure stands for rolls that differ.
func TestProductsSayTheirOwnRolls(t *testing.T) {
	ticket := of(t, jobs["rolls of their own"])
	if r := ticket.Roll; r.Labels != 0 || r.DiameterMM != 0 || r.CoreMM != 76 {
		t.Errorf("rolls of all: %+v", r)
	}
	if a, b := ticket.Products[0].PerRoll, ticket.Products[1].PerRoll; a != 1000 || b != 2500 {
		t.Errorf("rolls of %d and %d", a, b)
	}
}
