package summary_test

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/summary"
	"quoin/impose/summary/schema"
	"quoin/impose/witness"
	"quoin/impose/witness/schemas"
)

// jobs are changes of the sample that bring every part of a summary to be.
var jobs = map[string]func(*testing.T, *job.Job){
	"sample": func(_ *testing.T, j *job.Job) { j.Cutting = true },
	"bare": func(t *testing.T, j *job.Job) {
		j.Artworks = j.Artworks[:1]
		j.Artworks[0].File = witness.PlainLabel(t, 50, 75, "0 1 0 0") // has no output intent
		j.Winding, j.Windings, j.Roll, j.Material, j.Press = nil, 0, job.Roll{}, job.Material{}, nil
	},
	"eye mark, splices, flexo, money": func(_ *testing.T, j *job.Job) {
		eye, yes := job.DefaultEyeMark(), true
		j.Marks.Eye, j.Roll.Splices, j.Marks.Trim = &eye, &yes, true
		j.Flexo = &job.FlexoUnit{For: "varnish", Plate: geometry.Plate{Thickness: geometry.Millimetre}}
		j.Press.Unwinder = job.Unwinder{RollChange: 5, MasterRoll: 500 * geometry.Metre}
		j.Press.Finishing.DieCutting = 60 * geometry.Metre
		j.Press.Consumables[0].Price = 100
		j.Press.Prices = &job.Prices{Currency: "EUR", WebPerM2: 0.5, PressPerHour: 180, InkPerKg: job.InkFigures{All: 40}}
		j.Press.InkUse = job.InkFigures{All: 1.2}
	},
	"rolls that begin with a new repeat": func(_ *testing.T, j *job.Job) {
		j.Roll.NewRepeat, j.Roll.Labels = true, 2501
	},
	"nothing ordered": func(_ *testing.T, j *job.Job) {
		for i := range j.Artworks {
			j.Artworks[i].Quantity = 0
		}
	},
	"white, second surface": func(_ *testing.T, j *job.Job) {
		j.Inks.Underprint = &job.Underprint{Ink: "White", Hits: 1, Choke: geometry.Millimetre / 10}
		j.Mirror = true
	},
	"patches for each lane": func(_ *testing.T, j *job.Job) {
		for i, lanes := range []int{2, 2, 1} {
			j.Artworks[i].LaneCount = lanes
		}
		j.Gap.Across = 12 * geometry.Millimetre
		j.Targets.Lanes, j.Targets.ThreeInks, j.Targets.Aperture = true, true, 4*geometry.Millimetre
		j.Inks.Underprint = &job.Underprint{Ink: "White", Hits: 1}
		j.Material.Kind = "clear film" // which puts the patches on white
	},
	"mixed lane": func(_ *testing.T, j *job.Job) {
		for i := range j.Artworks {
			j.Artworks[i].LaneCount, j.Artworks[i].StationCount = 0, 10
		}
	},
	"die": func(t *testing.T, j *job.Job) {
		dies, err := job.ReadDies("../../samples/dies.yaml")
		if err != nil {
			t.Fatal(err)
		}
		j.Dies, j.Die = dies, "0101"
	},
	"lanes that differ": func(t *testing.T, j *job.Job) {
		j.Artworks = j.Artworks[:2]
		j.Artworks[0].LaneCount, j.Artworks[1].LaneCount = 2, 1
		j.Artworks[1].File = witness.PlainLabel(t, 80, 75, "0 1 0 0")
		j.Artworks[1].Label = geometry.Size{Across: 80 * geometry.Millimetre, Around: 75 * geometry.Millimetre}
	},
	"a house file": func(_ *testing.T, j *job.Job) {
		j.Took = []job.Took{{House: &job.House{Path: "house.yaml", SHA256: strings.Repeat("0", 64)}, Keys: []job.TookKey{{Key: "web", Value: "340mm", Line: 1}}}}
	},
	"lanes turned differently": func(_ *testing.T, j *job.Job) {
		j.Artworks[1].Winding = &geometry.Winding{Face: geometry.FaceIn, Leading: geometry.BottomLeads}
	},
	"an empty plate": func(t *testing.T, j *job.Job) {
		j.Artworks = j.Artworks[:1]
		j.Artworks[0].LaneCount, j.Artworks[0].LaneList, j.Artworks[0].File = 0, nil, witness.IdleLabel(t, "/A cs 0 scn 40 40 20 20 re f")
	},
	"one row, numbered between its lanes": func(_ *testing.T, j *job.Job) {
		j.Rows = 1
	},
	"change-over labels": func(_ *testing.T, j *job.Job) {
		j.Artworks = j.Artworks[:1]
		j.Artworks[0].LaneCount, j.Artworks[0].LaneList, j.Roll.Labels = 0, nil, 500
		j.Data = &job.Data{Count: 10_000, ChangeOver: &job.ChangeOver{Labels: 2}}
	},
	"nested, across the seam": func(_ *testing.T, j *job.Job) {
		j.Artworks = j.Artworks[:1]
		j.Artworks[0].LaneCount, j.Artworks[0].LaneList, j.Lanes, j.Rows = 0, nil, 0, 0
		j.Shape, j.IgnoreDieLine, j.Nest, j.Roll = geometry.ShapeEllipse, true, true, job.Roll{}
	},
}

// nullable are the keys that may be null; files without an artwork's page group,
// output intent or eye mark say so by it, and what nobody knows or said.
var nullable = []string{"written/blend_space", "written/output_intent", "written/eye_track_pt",
	"run/press_min", "production/press_with_changes_min", "production/finish_min", "production/splices_allowed", "ink_use/g", "ink_use/cost"}

// TestSummaryKeepsItsSchema writes summaries of all kinds, which the schema must
// take, and then spoils each value in turn, which it must refuse. A key that it
// doesn't know is refused as well, and one that no summary has is missed.
func TestSummaryKeepsItsSchema(t *testing.T) {
	form := schemas.Schema(t, schema.JSON())
	met := map[string]bool{}
	for _, name := range slices.Sorted(maps.Keys(jobs)) {
		t.Run(name, func(t *testing.T) {
			j, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
			if err != nil {
				t.Fatal(err)
			}
			jobs[name](t, j)
			im, err := impose.Open(t.Context(), j)
			if err != nil {
				t.Fatal(err)
			}
			defer im.Close()
			ink := map[string]float64{"Cyan": 1e5, "Black": 2e4}
			s, err := im.Summary(impose.Written{Pages: 1, Ink: ink, Files: []summary.File{{Role: "output", Path: "out.pdf", SHA256: strings.Repeat("0", 64)}}})
			if err != nil {
				t.Fatal(err)
			}
			if name == "a house file" {
				half := 0.5
				s.Again = []summary.Again{
					{Artwork: 1, Was: "old.pdf", WasSHA256: strings.Repeat("0", 64), Changes: []summary.Change{{Code: "trim", Was: "a", Now: "b"}}, Percent: &half, PlaceMM: &[4]float64{1, 2, 3, 4}},
					{Artwork: 2, Was: "gone.pdf", Unknown: "it is not there any more", Changes: []summary.Change{}},
				}
			}
			maps.Copy(met, schemas.Keeps(t, form, s, nullable...))
		})
	}
	for _, key := range described(t) {
		if !met[key] {
			t.Errorf("no summary has %s", key)
		}
	}
}

// rare are keys of what the jobs above don't bring: damage and oddities of
// artworks, which tests elsewhere make.
var rare = []string{
	"run/change_over_m", "run/change_over_labels", "rolls/change_over_labels", // of variable data
	"artworks/permitted_by",
	"written/breaches/artwork", "written/breaches/page", "written/breaches/object",
	"written/drawn/under", "written/renames/from", "written/renames/to", "written/shared_spaces/ink", "written/shared_spaces/artwork",
	"written/output_intent/condition", "written/output_intent/profile_sha256",
}

// described lists the keys that the schema describes, but for the rare ones.
func described(t *testing.T) []string {
	t.Helper()
	type node struct {
		Ref        string           `json:"$ref"`
		Properties map[string]*node `json:"properties"`
		Items      *node            `json:"items"`
		AnyOf      []*node          `json:"anyOf"`
	}
	var whole struct {
		node
		Defs map[string]*node `json:"$defs"`
	}
	if err := json.Unmarshal(schema.JSON(), &whole); err != nil {
		t.Fatal(err)
	}
	var keys []string
	var walk func(n *node, path string)
	walk = func(n *node, path string) {
		if def := whole.Defs[strings.TrimPrefix(n.Ref, "#/$defs/")]; def != nil {
			walk(def, path)
		}
		if n.Items != nil {
			walk(n.Items, path)
		}
		for _, n := range n.AnyOf {
			walk(n, path)
		}
		for k, n := range n.Properties {
			key := strings.TrimPrefix(path+"/"+k, "/")
			if !slices.Contains(rare, key) {
				keys = append(keys, key)
			}
			walk(n, key)
		}
	}
	walk(&whole.node, "")
	if len(keys) < 100 {
		t.Fatalf("the schema describes %d keys", len(keys))
	}
	return keys
}
