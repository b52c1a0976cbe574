package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// dear are calls that no verb should pay for which doesn't need what they make.
var dear = map[string]bool{"regexp.MustCompile": true, "regexp.Compile": true, "template.Must": true, "template.New": true, "json.Unmarshal": true, "yaml.Unmarshal": true, "sfnt.Parse": true}

// TestNothingDearIsMadeAtStart: no package of ours compiles a pattern or a
// template, or reads a table, before somebody asks for it.
func TestNothingDearIsMadeAtStart(t *testing.T) {
	values := 0
	err := filepath.WalkDir("../..", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") || strings.Contains(filepath.ToSlash(file), "/witness/") { // only tests import it
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		var look func(ast.Node) bool
		look = func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncLit:
				return false // runs when it is called
			case *ast.CallExpr:
				if at, ok := n.Fun.(*ast.FuncLit); ok { // called where it stands
					ast.Inspect(at.Body, look)
				}
				if s, ok := n.Fun.(*ast.SelectorExpr); ok {
					if x, ok := s.X.(*ast.Ident); ok && dear[x.Name+"."+s.Sel.Name] {
						t.Errorf("%s: %s.%s runs at every start: make it when it is asked for, with sync.OnceValue", set.Position(n.Pos()), x.Name, s.Sel.Name)
					}
				}
			}
			return true
		}
		for _, i := range f.Imports {
			if strings.Contains(i.Path.Value, "santhosh-tekuri/jsonschema") { // compiles ten schemas when it is loaded: half of what a start takes
				t.Errorf("%s: %s is for tests", set.Position(i.Pos()), i.Path.Value)
			}
		}
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				if d.Recv == nil && d.Name.Name == "init" {
					t.Errorf("%s: an init function runs at every start", set.Position(d.Pos()))
				}
			case *ast.GenDecl:
				if d.Tok == token.VAR {
					values++
					ast.Inspect(d, look)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if values < 200 {
		t.Fatalf("only %d declarations were read: the test is looking at the wrong place", values)
	}
}
