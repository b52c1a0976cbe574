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

// form is a JSON Schema, or a part of one, ready to judge by.
type form struct {
	part   map[string]any
	whole  map[string]any // whose $defs the part refers to
	judges *jsonschema.Resolved
}

// summaryForm compiles the summary's JSON Schema once.
var summaryForm = sync.OnceValues(func() (*form, error) {
	var whole map[string]any
	if err := json.Unmarshal(schema.JSON(), &whole); err != nil {
		return nil, err
	}
	return formOf(whole, whole)
})

// formOf compiles a part of a schema, which refers to nothing but $defs.
func formOf(whole map[string]any, part any) (*form, error) {
	f := &form{whole: whole}
	f.part, _ = part.(map[string]any)
	if ref, ok := f.part["$ref"].(string); ok {
		defs, _ := whole["$defs"].(map[string]any)
		f.part, _ = defs[strings.TrimPrefix(ref, "#/$defs/")].(map[string]any)
	}
	needed := map[string]any{}
	f.refers(without(f.part, "$defs"), needed)
	text, err := json.Marshal(map[string]any{"$defs": needed, "allOf": []any{without(f.part, "$id", "$defs")}})
	if err != nil {
		return nil, err
	}
	var s jsonschema.Schema
	if err := json.Unmarshal(text, &s); err != nil {
		return nil, err
	}
	f.judges, err = s.Resolve(nil)
	return f, err
}

// refers adds what a part of the schema refers to, and what that does.
func (f *form) refers(part any, needed map[string]any) {
	switch v := part.(type) {
	case map[string]any:
		if ref, ok := v["$ref"].(string); ok {
			name := strings.TrimPrefix(ref, "#/$defs/")
			defs, _ := f.whole["$defs"].(map[string]any)
			if _, known := needed[name]; !known {
				needed[name] = defs[name]
				f.refers(defs[name], needed)
			}
		}
		for _, value := range v {
			f.refers(value, needed)
		}
	case []any:
		for _, value := range v {
			f.refers(value, needed)
		}
	}
}

func without(d map[string]any, keys ...string) map[string]any {
	d = maps.Clone(d)
	for _, key := range keys {
		delete(d, key)
	}
	return d
}

// keepsForm returns an error with what of a summary's text its JSON Schema does
// not take: keys that are missing, unknown, or of another type.
func keepsForm(text []byte) error {
	f, err := summaryForm()
	if err != nil {
		return fmt.Errorf("the summary's schema: %w", err)
	}
	var v any
	if err := json.Unmarshal(text, &v); err != nil {
		return err
	}
	if err := f.judges.Validate(v); err == nil {
		return nil
	}
	list, err := f.faults(v, "")
	if err != nil {
		return fmt.Errorf("the summary's schema: %w", err)
	}
	slices.Sort(list)
	return errors.New(strings.Join(list[:min(len(list), maxFaults)], "; "))
}

// lastWords gives of an error what is behind the way through the schema.
func lastWords(err error) string {
	text := err.Error()
	at := max(0, strings.LastIndex(text, "validating /"))
	if _, said, ok := strings.Cut(text[at:], ": "); ok {
		return said
	}
	return text
}

// maxFaults is how many of a form's faults are said.
const maxFaults = 3

// faults tells what is wrong with a value that the form doesn't take, and where. The
// library says only what it met first, and not in which element of a list: so each
// part is judged by itself, until none of its parts is at fault.
func (f *form) faults(v any, where string) (list []string, err error) {
	shallow := without(f.part, "items")
	properties, _ := f.part["properties"].(map[string]any)
	if len(properties) > 0 {
		any := map[string]any{}
		for key := range properties {
			any[key] = true
		}
		shallow["properties"] = any
	}
	// A key that is called otherwise is missing, and is one too many.
	for _, alone := range []map[string]any{{"required": f.part["required"]}, without(shallow, "required")} {
		if alone["required"] == nil {
			delete(alone, "required")
		}
		own, err := formOf(f.whole, alone)
		if err != nil {
			return nil, err
		}
		if err := own.judges.Validate(v); err != nil {
			list = append(list, cmp.Or(where, "/")+": "+lastWords(err))
		}
	}
	parts := func(part any, each func(yield func(string, any) bool)) error {
		below, err := formOf(f.whole, part)
		if err != nil {
			return err
		}
		for key, value := range each {
			if len(list) >= maxFaults || below.judges.Validate(value) == nil {
				continue
			}
			more, err := below.faults(value, where+"/"+key)
			if err != nil {
				return err
			}
			list = append(list, more...)
		}
		return nil
	}
	switch v := v.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(properties)) {
			if value, has := v[key]; has {
				if err := parts(properties[key], func(yield func(string, any) bool) { yield(key, value) }); err != nil {
					return nil, err
				}
			}
		}
	case []any:
		if f.part["items"] != nil {
			err = parts(f.part["items"], func(yield func(string, any) bool) {
				for i, value := range v {
					if !yield(fmt.Sprint(i), value) {
						return
					}
				}
			})
		}
	}
	return list, err
}
