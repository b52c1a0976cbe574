package impose_test

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
)

// TestSchemasKnowThePatterns: whatever way of laying shaped labels there is, the
// schemas of summary and ticket take its name, and no other.
func TestSchemasKnowThePatterns(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "../geometry/outline/nest/request.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var patterns []string
	ast.Inspect(file, func(n ast.Node) bool {
		c, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		if kind, ok := c.Type.(*ast.Ident); ok && kind.Name == "Pattern" {
			name, err := strconv.Unquote(c.Values[0].(*ast.BasicLit).Value)
			if err != nil {
				t.Fatal(err)
			}
			patterns = append(patterns, name)
		}
		return true
	})
	slices.Sort(patterns)
	if !slices.Contains(patterns, "sheared") {
		t.Fatalf("got %v of the source", patterns)
	}
	for _, name := range []string{"summary", "ticket"} {
		text, err := os.ReadFile(filepath.Join(name, "schema", name+".schema.json"))
		if err != nil {
			t.Fatal(err)
		}
		var s any
		if err := json.NewDecoder(bytes.NewReader(text)).Decode(&s); err != nil {
			t.Fatal(err)
		}
		found := 0
		eachPattern(s, func(known []any) {
			found++
			var got []string
			for _, k := range known {
				got = append(got, k.(string))
			}
			slices.Sort(got)
			if !slices.Equal(got, patterns) {
				t.Errorf("%s: the schema takes %v, of %v", name, got, patterns)
			}
		})
		if found != 1 {
			t.Errorf("%s: %d keys called pattern", name, found)
		}
	}
}

// eachPattern calls f with the words of each property called pattern.
func eachPattern(v any, f func([]any)) {
	switch v := v.(type) {
	case map[string]any:
		if p, ok := v["pattern"].(map[string]any); ok {
			f(p["enum"].([]any))
		}
		for _, inner := range v {
			eachPattern(inner, f)
		}
	case []any:
		for _, inner := range v {
			eachPattern(inner, f)
		}
	}
}
