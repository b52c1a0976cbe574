package fit

import (
	"testing"

	"quoin/geometry"
	"quoin/impose/witness/schemas"
)

// TestComparisonKeepsItsSchema: what is written with and without prices, ink and
// dies is what the schema says, every key of the schema is met, and nothing that is
// spoilt passes.
func TestComparisonKeepsItsSchema(t *testing.T) {
	schema := schemas.File(t, "schema/compare.schema.json")
	g, cost := .02, .5
	full := order(100_000)
	full.Inks = []LabelInk{{Name: "Cyan", MM2: 100, G: &g, Cost: &cost}, {Name: "Black", MM2: 20}}
	c, err := Compare(full)
	if err != nil {
		t.Fatal(err)
	}
	o := &c.Options[0]
	reason := []geometry.Reason{{Code: "some", Text: "reason", Nearest: "another"}}
	o.Cost, o.Station, o.Cylinder, o.TurnsPerFrame, o.Strokes, o.Place, o.Condition = 1, "flat", "78 teeth", 2, 3, "shelf", "worn"
	o.InkCost, o.Reasons, o.Warnings = 1, reason, reason
	met := schemas.Keeps(t, schema, c, "ink/label_g", "ink/label_cost")
	for _, key := range []string{"ink/label_g", "options/cost", "options/ink_m2", "options/ink_g", "options/ink_cost", "options/place", "options/reasons/nearest", "best/to"} {
		if !met[key] {
			t.Errorf("%s was never met", key)
		}
	}
	plain, err := Compare(order(1000))
	if err != nil {
		t.Fatal(err)
	}
	schemas.Keeps(t, schema, plain)
	for _, o := range plain.Options {
		if o.InkM2 > 0 {
			t.Errorf("an option takes %v m2 of ink that nobody measured", o.InkM2)
		}
	}
}
