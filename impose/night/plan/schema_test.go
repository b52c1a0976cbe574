package plan

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"quoin/geometry"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/witness/schemas"
)

// TestPlanKeepsItsSchema writes plans of all kinds. The schema knows every key,
// so that one which is added is described too.
func TestPlanKeepsItsSchema(t *testing.T) {
	file, err := os.ReadFile("schema/plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	schema := schemas.Schema(t, file)
	const list = "order,quantity,label,labels-per-roll,due,priority,overs,flags,inks\n" +
		"A,10000,50x75mm,2500,2026-03-01,2,,,cyan\nB,5000,50x75mm,1000,2026-03-02,,3%,,cyan\nC,2500,40x75mm,,2026-03-01,,,,cyan\n" +
		"D,700,50x75mm,,2026-03-01,,,drug-label,cyan\nE,900,900x900mm,,2026-03-01,,,,cyan\nF,900,50x75mm,,2026-05-01,,,,cyan\n"
	limit := 5 * geometry.Percent
	seen := map[string]bool{}
	for name, change := range map[string]func(*night.Rules){
		"whole lanes": func(*night.Rules) {},
		"mixed lanes": func(r *night.Rules) { r.Mixed = true },
		"whole rolls": func(r *night.Rules) { r.WholeRolls, r.By = true, night.Minutes },
		"scrap":       func(r *night.Rules) { r.Overs, r.Scrap = &limit, true },
		"a day":       func(r *night.Rules) { r.Day = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC) },
	} {
		r := nighttest.Rules()
		change(r)
		all := nighttest.Orders(t, list)
		p := made(t, all, r)
		if err := p.Compared(t.Context(), all); err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		for _, key := range []string{"unplanned", "later", "notes", "compare"} {
			seen[key] = seen[key] || bytes.Contains(text, []byte(`"`+key+`":[{`))
		}
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(doc); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if !seen["unplanned"] || !seen["later"] || !seen["notes"] || !seen["compare"] {
		t.Errorf("not all is put to the test: %v", seen)
	}
}
