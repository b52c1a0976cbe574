package colour_test

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"quoin/impose"
	"quoin/impose/colour"
	"quoin/impose/colour/cielab"
	"quoin/impose/job"
)

const samplePath = "../../samples/colour/orchard-measured.txt"

// sampleRun is the sample job's run.
func sampleRun(t testing.TB) *colour.PressRun {
	t.Helper()
	j, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	im, err := impose.Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	s, err := im.Summary(impose.Written{})
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	r, err := colour.ParseRun("orchard.json", data)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestSample keeps the sample's measurements in step with its job, and finds in
// them what its README says.
func TestSample(t *testing.T) {
	p, r := demoProfile(t), sampleRun(t)
	press := pressed{profile: p, noise: 0.2, seed: 9, dot: func(ink string, v, m float64) float64 {
		if ink == "Magenta" {
			return v + 0.045*min(1, max(0, (m-600)/400))*4*v*(1-v)
		}
		return v
	}, shift: func(q *colour.Patch, _ float64) cielab.Lab {
		switch {
		case q.Name == "Quince Gold":
			return cielab.Lab{L: -0.5, A: 3.6, B: -2}
		case q.Name == "Black" && q.Side == "right":
			return cielab.Lab{L: 2.2}
		}
		return cielab.Lab{}
	}}
	// One set in each margin is read, every 60 frames.
	once, seen := *r, map[string]bool{}
	once.Targets = nil
	for _, q := range r.Targets {
		if key := q.Side + q.Name; !seen[key] {
			seen[key] = true
			once.Targets = append(once.Targets, q)
		}
	}
	text := press.measure(t, &once, every(60, int(r.Run.Frames)))
	text = strings.Replace(text, "ISO28178\n", "ISO28178\nDESCRIPTOR \"INVENTED: no press printed this and no instrument read it; see README.md\"\n", 1)
	if os.Getenv("UPDATE") == "1" {
		if err := os.WriteFile(samplePath, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile(samplePath)
	if err != nil || string(have) != text {
		t.Fatalf("%s is not what the job's targets give (%v): UPDATE=1 rewrites it", samplePath, err)
	}
	house, err := colour.ReadHouse("../../samples/colour/house.yaml")
	if err != nil {
		t.Fatal(err)
	}
	all, err := colour.ReadMeasured(r, []string{samplePath})
	if err != nil {
		t.Fatal(err)
	}
	rep := colour.Judge(r, all, &colour.Aims{House: house, Profile: p, From: "demo profile"})
	if rep.Verdict != colour.Stop || len(rep.Unmatched) > 0 || len(rep.Drift) != 1 || rep.Drift[0].Ink != "Magenta" || rep.Drift[0].FromM < 540 || rep.Drift[0].FromM > 700 {
		t.Errorf("%s, %+v, %+v", rep.Verdict, rep.Unmatched, rep.Drift)
	}
	if !slices.ContainsFunc(rep.Worst, func(c colour.Check) bool { return c.Patch == "Quince Gold" && c.What == "solid" }) {
		t.Errorf("%+v", rep.Worst)
	}
}

// The house file of the samples says the defaults.
func TestSampleHouseIsTheDefault(t *testing.T) {
	house, err := colour.ReadHouse("../../samples/colour/house.yaml")
	if err != nil || house.Tolerances != colour.DefaultTolerances() {
		t.Errorf("%+v, %v", house, err)
	}
}

// A house file that makes no sense is refused with what is wrong.
func TestDamagedHouseFiles(t *testing.T) {
	for text, want := range map[string]string{
		"tolerances: {paper: -1}":                                       "paper: -1",
		"tolerances: {papper: 1}":                                       "papper",
		"tolerances: {look-from: 120}":                                  "look-from",
		"tolerances: {opacity: 120}":                                    "opacity",
		"paper: [1, 2]":                                                 "2 numbers",
		"paper: [900, 0, 0]":                                            "no printed colour",
		"spots: [{lab: [1, 2, 3], source: x}]":                          "spot 1 has no name",
		"spots: [{name: A, source: x}]":                                 "lab or a spectrum",
		"spots: [{name: A, lab: [50, 0, 0]}]":                           "source",
		"spots: [{name: A, lab: [50, 0, 0], source: x, tolerance: -2}]": "tolerance of -2",
		"spots: [{name: A, lab: [50, 0, 0], source: x}, {name: ' a ', lab: [50, 0, 0], source: x}]": "twice",
		"spots: [{name: A, spectrum: {first: 400, step: 10, values: [1]}, source: x}]":              "1 bands",
		"spots: {": "yaml",
	} {
		if _, err := colour.ParseHouse("h.yaml", []byte(text)); err == nil || !strings.Contains(err.Error(), want) || !strings.HasPrefix(err.Error(), "h.yaml: ") {
			t.Errorf("%s: got %v; want %q", text, err, want)
		}
	}
}
