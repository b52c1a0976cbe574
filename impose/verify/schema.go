package verify

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"github.com/google/jsonschema-go/jsonschema"

	"quoin/impose/summary/schema"
)

// A summary whose key is missing or called otherwise says less than what was
// planned, and whoever reads it next takes it for nothing: so its whole form is
// checked, not only the keys that are compared with the file.

// summaryForm compiles the summary's JSON Schema once.
var summaryForm = sync.OnceValues(func() (*jsonschema.Resolved, error) {
	whole := new(jsonschema.Schema)
	if err := json.Unmarshal(schema.JSON(), whole); err != nil {
		return nil, err
	}
	return whole.Resolve(nil)
})

// keepsForm returns an error with what of a summary's text its JSON Schema does
// not take: keys that are missing, unknown, or of another type.
func keepsForm(text []byte) error {
	judges, err := summaryForm()
	if err != nil {
		return fmt.Errorf("the summary's schema: %w", err)
	}
	var v any
	if err := json.Unmarshal(text, &v); err != nil {
		return err
	}
	if judges.Validate(v) == nil {
		return nil
	}
	list := faults(judges.Schema(), judges.Schema(), v, "")
	slices.Sort(list)
	return errors.New(strings.Join(list[:min(len(list), maxFaults)], "; "))
}

// judge returns what compares a value with a part of the schema.
func judge(whole, part *jsonschema.Schema) func(v any) error {
	alone := &jsonschema.Schema{Defs: whole.Defs, AllOf: []*jsonschema.Schema{part.CloneSchemas()}}
	judges, err := alone.Resolve(nil)
	if err != nil {
		return func(any) error { return err }
	}
	return judges.Validate
}

// maxFaults is how many of a form's faults are said.
const maxFaults = 3

// faults tells what is wrong with a value that a part of the schema doesn't take, and
// where. The library says only what it met first, and not in which element of a list:
// so each part is judged by itself, until none of its parts is at fault.
func faults(whole, part *jsonschema.Schema, v any, where string) (list []string) {
	if name, ok := strings.CutPrefix(part.Ref, "#/$defs/"); ok {
		part = whole.Defs[name]
	}
	// A key that is called otherwise is missing, and is one too many.
	needed, inner := &jsonschema.Schema{Required: part.Required}, *part
	inner.ID, inner.Defs, inner.Required = "", nil, nil
	own := inner
	own.Items, own.Properties = nil, map[string]*jsonschema.Schema{}
	for key := range part.Properties {
		own.Properties[key] = new(jsonschema.Schema)
	}
	for _, alone := range []*jsonschema.Schema{needed, &own} {
		if err := judge(whole, alone)(v); err != nil {
			list = append(list, cmp.Or(where, "/")+": "+lastWords(err))
		}
	}
	inner.MinItems, inner.MaxItems = nil, nil
	judged := judge(whole, &inner)
	below := func(part *jsonschema.Schema, key string, value, alone any) {
		if len(list) < maxFaults && judged(alone) != nil {
			list = append(list, faults(whole, part, value, where+"/"+key)...)
		}
	}
	switch v := v.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(part.Properties)) {
			if value, has := v[key]; has {
				below(part.Properties[key], key, value, map[string]any{key: value})
			}
		}
	case []any:
		for i, value := range v {
			if part.Items != nil {
				below(part.Items, fmt.Sprint(i), value, []any{value})
			}
		}
	}
	return list
}

// lastWords returns of an error what is behind the way through the schema.
func lastWords(err error) string {
	text := err.Error()
	at := max(0, strings.LastIndex(text, "validating /"))
	if _, said, ok := strings.Cut(text[at:], ": "); ok {
		return said
	}
	return text
}
