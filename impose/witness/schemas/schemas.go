// Package schemas lets tests check JSON by its JSON Schema, with a library that knows
// nothing of the program's own check. It is apart from [quoin/impose/witness] because
// that library takes some milliseconds at each start of a program. Only tests import it.
package schemas

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Schema compiles a JSON Schema that stands for itself.
func Schema(t testing.TB, text []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("file:///own.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	return c.MustCompile("file:///own.schema.json")
}

// File is Schema for a file.
func File(t testing.TB, path string) *jsonschema.Schema {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return Schema(t, text)
}

// Keeps checks that a schema takes what v is as JSON, and refuses it once a
// key is added or any one value is of another type, but for those named in
// nullable. It returns the keys that it met, as in lanes/artworks.
func Keeps(t testing.TB, s *jsonschema.Schema, v any, nullable ...string) map[string]bool {
	t.Helper()
	met := map[string]bool{}
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	if err := s.Validate(doc); err != nil {
		t.Error(err)
		return met
	}
	doc["other"] = 1
	if s.Validate(doc) == nil {
		t.Error("an unknown key is taken")
	}
	delete(doc, "other")
	thin(doc)
	free := map[string]bool{}
	for _, key := range nullable {
		free[key] = true
	}
	spoil(doc, "", func(key string) {
		met[key] = true
		if s.Validate(doc) == nil && !free[key] {
			t.Errorf("%s may be of any type", key)
		}
	})
	return met
}

// spoil calls check with each value in turn replaced by one of a type that no
// key has.
func spoil(v any, path string, check func(string)) {
	switch v := v.(type) {
	case map[string]any:
		for k, was := range v {
			key := strings.TrimPrefix(path+"/"+k, "/")
			v[k] = nil
			check(key)
			v[k] = was
			spoil(was, key, check)
		}
	case []any:
		for i, was := range v {
			v[i] = nil
			check(path + " item")
			v[i] = was
			spoil(was, path, check)
		}
	}
}

// thin leaves of each list of objects those that bring a key of their own, which
// stand for the others.
func thin(v any) map[string]bool {
	keys := map[string]bool{}
	object, _ := v.(map[string]any)
	for k, value := range object {
		keys[k] = true
		if list, ok := value.([]any); ok {
			kept, known := list[:0], map[string]bool{}
			for _, item := range list {
				before := len(known)
				maps.Copy(known, thin(item))
				if _, isObject := item.(map[string]any); !isObject || len(known) > before {
					kept = append(kept, item)
				}
			}
			object[k], value = kept, nil
			for inner := range known {
				keys[k+"/"+inner] = true
			}
		}
		for inner := range thin(value) {
			keys[k+"/"+inner] = true
		}
	}
	return keys
}
