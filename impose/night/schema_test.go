package night

import (
	"bytes"
	"encoding/json"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"quoin/geometry"
	"quoin/impose/witness"
)

// TestPlanKeepsItsSchema writes plans of all kinds. The schema knows every key,
// so that one which is added is described too.
func TestPlanKeepsItsSchema(t *testing.T) {
	schema := witness.Schema(t, JSONSchema())
	const list = "order,quantity,label,labels-per-roll,due,priority,overs,flags,inks\n" +
		"A,10000,50x75mm,2500,2026-03-01,2,,,cyan\nB,5000,50x75mm,1000,2026-03-02,,3%,,cyan\nC,2500,40x75mm,,2026-03-01,,,,cyan\n" +
		"D,700,50x75mm,,2026-03-01,,,drug-label,cyan\nE,900,900x900mm,,2026-03-01,,,,cyan\nF,900,50x75mm,,2026-05-01,,,,cyan\n"
	limit := 5 * geometry.Percent
	seen := map[string]bool{}
	for name, change := range map[string]func(*Rules){
		"whole lanes": func(*Rules) {},
		"mixed lanes": func(r *Rules) { r.Mixed = true },
		"whole rolls": func(r *Rules) { r.WholeRolls, r.By = true, Minutes },
		"scrap":       func(r *Rules) { r.Overs, r.Scrap = &limit, true },
		"a day":       func(r *Rules) { r.Day = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC) },
	} {
		r := rules()
		change(r)
		all := orders(t, list)
		p := plan(t, all, r)
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
