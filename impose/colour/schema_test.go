package colour_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"quoin/impose/colour"
	"quoin/impose/colour/cielab"
)

// Reports of all kinds keep the published schema, and one that is bent doesn't.
func TestReportKeepsItsSchema(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(colour.JSONSchema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("file:///colour.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	schema := c.MustCompile("file:///colour.schema.json")
	p, r := demoProfile(t), frameOf(t, 2000)
	bent := pressed{profile: p, shift: func(q *colour.Patch, m float64) cielab.Lab { return cielab.Lab{L: 4 * m / 1000} }}
	head := "X\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n"
	valid := func(text string) error {
		data, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		return schema.Validate(data)
	}
	for name, rep := range map[string]*colour.Report{
		"a whole run":   judged(t, r, p, bent.measure(t, r, every(100, 2000))),
		"one patch":     judged(t, r, p, head+"1 55 -37 -50\nx 50 0 0\nEND_DATA\n"),
		"no conditions": colour.Judge(r, &colour.Readings{List: []colour.Reading{{Patch: &r.Targets[0]}}}, &colour.Aims{}),
	} {
		rep.Curves = colour.Curves(rep)
		rep.Fewer = append(colour.Fewer(r, rep, aimsOf(t, p), nil), colour.FewerInks{Ink: "B", Near: true})
		rep.Together = colour.Together(r, rep, nil)
		text, err := json.Marshal(rep)
		if err != nil {
			t.Fatal(err)
		}
		if err := valid(string(text)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if err := valid(strings.Replace(string(text), `"verdict":"`, `"verdict":"x`, 1)); err == nil {
			t.Errorf("%s: a bent verdict passes", name)
		}
	}
}
