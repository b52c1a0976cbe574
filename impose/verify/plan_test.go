package verify_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"strings"
	"testing"

	"quoin/impose/verify"
)

// TestSummaryKeepsItsForm: a summary that lost a key that it must have, or calls one
// otherwise, is no plan, whether or not the key is compared with the file.
func TestSummaryKeepsItsForm(t *testing.T) {
	_, summary := written(t, frame("../../testdata/placing/layer-off.pdf"))
	data, err := os.ReadFile(summary)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := verify.ParseExpected("whole.json", bytes.NewReader(data)); err != nil {
		t.Fatal(err)
	}
	var whole map[string]json.RawMessage
	if err := json.Unmarshal(data, &whole); err != nil {
		t.Fatal(err)
	}
	may := map[string]bool{"again": true, "cut": true, "die": true, "flexo": true, "house": true, "ink_use": true, "production": true, "seam": true, "thousand_labels": true, "winding": true}
	for key, value := range whole {
		for name, edit := range map[string]func(map[string]json.RawMessage){
			"lost":        func(s map[string]json.RawMessage) { delete(s, key) },
			"renamed":     func(s map[string]json.RawMessage) { delete(s, key); s["other_"+key] = value },
			"capitalised": func(s map[string]json.RawMessage) { delete(s, key); s[strings.ToUpper(key)] = value },
			"said twice":  func(s map[string]json.RawMessage) { s["other_"+key] = value },
		} {
			if may[key] && name == "lost" {
				continue
			}
			s := maps.Clone(whole)
			edit(s)
			text, err := json.Marshal(s)
			if err != nil {
				t.Fatal(err)
			}
			_, err = verify.ParseExpected("changed.json", bytes.NewReader(text))
			if err == nil {
				t.Errorf("%s: %s, and it is taken for a plan", key, name)
			} else if says := err.Error(); !strings.Contains(says, key) && !strings.Contains(says, strings.ToUpper(key)) && key != "schema" && key != "written" {
				t.Errorf("%s: %s: the error doesn't name it: %v", key, name, err)
			}
		}
	}
	if _, err := verify.ParseExpected("two.json", bytes.NewReader(append(data, data...))); err == nil {
		t.Error("two summaries in one file are taken for one")
	}
}
