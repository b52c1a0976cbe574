package impose

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
)

// contract holds the summary's keys that scripts rely on. Keys may be added,
// never renamed or taken away.
var contract = map[string][]string{
	"":           {"schema", "layout", "run", "inks", "stations", "targets", "warnings", "files"},
	"layout":     {"across", "around", "labels", "turn_deg", "repeat_mm", "gap_across_mm", "gap_around_mm", "band_mm", "label_percent", "matrix_percent", "edge_percent"},
	"run":        {"ordered", "labels", "overs", "frames", "web_net_m", "web_gross_m", "press_min", "yield_percent"},
	"inks.0":     {"name", "kind"},
	"stations.0": {"lane", "row", "turn_deg", "artwork", "page", "trim_pt"},
	"warnings.0": {"code", "text"},
	"files.0":    {"path", "sha256"},
}

func TestSummaryKeepsItsContract(t *testing.T) {
	j := jobFor(inkedLabel(t, 1))
	j.Gap = geometry.Size{Across: geometry.Millimetre, Around: geometry.Millimetre} // clips the bleed, which warns
	im, _ := imposed(t, j)
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	var whole any
	if err := json.Unmarshal(b, &whole); err != nil {
		t.Fatal(err)
	}
	for at, keys := range contract {
		node := whole
		for _, step := range strings.Split(at, ".") {
			switch n := node.(type) {
			case map[string]any:
				if step != "" {
					node = n[step]
				}
			case []any:
				if len(n) == 0 {
					t.Fatalf("%s is empty", at)
				}
				node = n[0]
			}
		}
		object, ok := node.(map[string]any)
		if !ok {
			t.Fatalf("%q is %T, want an object", at, node)
		}
		for _, k := range keys {
			if _, ok := object[k]; !ok {
				t.Errorf("%q has no key %s", at, k)
			}
		}
	}
	if len(s.Targets) == 0 {
		t.Error("no targets are listed")
	}
}

// TestSameInputSameBytes imposes one job of several artworks twice.
func TestSameInputSameBytes(t *testing.T) {
	j, err := job.Houses(nil).ReadJob("../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	var first []byte
	for range 2 {
		im, err := Open(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := im.WritePDF(context.Background(), &b); err != nil {
			t.Fatal(err)
		}
		im.Close()
		if first == nil {
			first = b.Bytes()
		} else if !bytes.Equal(first, b.Bytes()) {
			t.Fatal("the same job gave other bytes")
		}
	}
}
