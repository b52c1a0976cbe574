package job

import (
	"path/filepath"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"

	"quoin/geometry"
)

// TestPackedJobIsTheSame sends every sample job, and one whose values are hard to
// carry, and wants each back with all its values.
func TestPackedJobIsTheSame(t *testing.T) {
	paths, err := filepath.Glob("../../samples/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	jobs := map[string]*Job{"hard": hardJob()}
	for _, path := range paths {
		if j, err := Houses(nil).ReadJob(path, nil); err == nil && j.Validate() == nil {
			jobs[path] = j
		}
	}
	if len(jobs) < 3 {
		t.Fatalf("only %d jobs were found among the samples", len(jobs))
	}
	for path, j := range jobs {
		data, err := j.Pack()
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		got, err := Unpack(data)
		if err != nil {
			t.Fatalf("%s: %v\n%s", path, err, data)
		}
		// The places of single values stay at home.
		shown := func(f reflect.Type) bool { return true }
		unplaced := cmp.FilterPath(func(p cmp.Path) bool {
			return p.Last().String() == ".values" || p.Last().String() == ".entries" || p.Last().String() == ".record" || p.Last().String() == ".faults"
		}, cmp.Ignore())
		if d := cmp.Diff(j, got, cmp.Exporter(shown), unplaced); d != "" {
			t.Errorf("%s comes back otherwise (-sent +got):\n%s", path, d)
		}
	}
}

func hardJob() *Job {
	j := New()
	none, share := geometry.Length(0), geometry.Share(1)
	j.Edge, j.TargetLane, j.Run.Overs, j.Shift = &none, nil, &share, -1
	j.WebWidth = 340*geometry.Millimetre + 1
	j.Press = &Press{Name: "naïve \"press\"", SetupMin: 0.1 + 0.2, Prices: &Prices{}}
	j.Roll.Splices = new(bool)
	return j
}

// TestUnpackRefusesWhatIsNoJob feeds it what a stranger may send.
func TestUnpackRefusesWhatIsNoJob(t *testing.T) {
	for _, text := range []string{"", "[]", `{"job":{"source":{}}}`, `{"job":{"Nowhere":1}}`, `{"job":{"WebWidth":"wide"}}`, `{"job":{"Edge":[1,2]}}`, `{"job":{"Artworks":{}}}`} {
		if j, err := Unpack([]byte(text)); err == nil {
			t.Errorf("%q is taken for the job %+v", text, j)
		}
	}
}
