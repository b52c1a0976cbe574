package verify

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"quoin/impose/summary/schema"
)

// TestFormFaultsAreSaidWhereTheyStand: each fault of a summary's form is named with
// its place, and another reader of JSON Schema finds the same summaries at fault.
func TestFormFaultsAreSaidWhereTheyStand(t *testing.T) {
	text, err := os.ReadFile("testdata/summary.json")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema.JSON()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("file:///s.json", doc); err != nil {
		t.Fatal(err)
	}
	other, err := c.Compile("file:///s.json")
	if err != nil {
		t.Fatal(err)
	}
	for name, test := range map[string]struct {
		edit func(map[string]any)
		want []string
	}{
		"whole":        {func(s map[string]any) {}, nil},
		"two at once":  {func(s map[string]any) { delete(s, "layout"); first(s, "inks")["name"] = 3 }, []string{"layout", "/inks/0/name: ", `"string"`}},
		"in an item":   {func(s map[string]any) { s["stations"].([]any)[2].(map[string]any)["lane"] = "1" }, []string{"/stations/2/lane: ", `"integer"`}},
		"unknown key":  {func(s map[string]any) { first(s, "lanes")["xx"] = 1 }, []string{"/lanes/0: ", "xx"}},
		"wrong schema": {func(s map[string]any) { s["schema"] = "quoin/summary/0" }, []string{"/schema: ", "quoin/summary/1"}},
		"short box":    {func(s map[string]any) { first(s, "stations")["trim_pt"] = []any{1.0, 2.0} }, []string{"/stations/0/trim_pt: "}},
	} {
		var s map[string]any
		if err := json.Unmarshal(text, &s); err != nil {
			t.Fatal(err)
		}
		test.edit(s)
		edited, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		again, err := jsonschema.UnmarshalJSON(bytes.NewReader(edited))
		if err != nil {
			t.Fatal(err)
		}
		got := keepsForm(edited)
		if (got == nil) != (other.Validate(again) == nil) {
			t.Errorf("%s: ours says %v, the other %v", name, got, other.Validate(again))
		}
		if (got == nil) != (test.want == nil) {
			t.Errorf("%s: %v", name, got)
		}
		for _, part := range test.want {
			if got != nil && !strings.Contains(got.Error(), part) {
				t.Errorf("%s: %v, without %q", name, got, part)
			}
		}
	}
}

func first(s map[string]any, list string) map[string]any { return s[list].([]any)[0].(map[string]any) }
