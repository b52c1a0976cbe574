package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// mostMethods is how many methods a type may have: what one can keep in mind.
const mostMethods = 25

// methodsOf is what the source says of a type.
type methodsOf struct {
	own      map[string]bool
	embedded []string // our own types, each as folder.Name
}

// typesIn reads the types of all packages below a folder, each as folder.Name.
func typesIn(t *testing.T, root string) map[string]*methodsOf {
	found := map[string]*methodsOf{}
	at := func(name string) *methodsOf {
		if found[name] == nil {
			found[name] = &methodsOf{own: map[string]bool{}}
		}
		return found[name]
	}
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		folder, err := filepath.Rel(root, filepath.Dir(file))
		if err != nil {
			return err
		}
		folder = filepath.ToSlash(folder)
		imports := map[string]string{}
		for _, i := range f.Imports {
			if where, ours := strings.CutPrefix(strings.Trim(i.Path.Value, `"`), "quoin/"); ours {
				name := path.Base(where)
				if i.Name != nil {
					name = i.Name.Name
				}
				imports[name] = where
			}
		}
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				if n.Recv != nil {
					at(typeName(n.Recv.List[0].Type, folder, nil)).own[n.Name.Name] = true
				}
			case *ast.TypeSpec:
				if s, ok := n.Type.(*ast.StructType); ok {
					for _, field := range s.Fields.List {
						if len(field.Names) == 0 {
							if name := typeName(field.Type, folder, imports); name != "" {
								of := at(folder + "." + n.Name.Name)
								of.embedded = append(of.embedded, name)
							}
						}
					}
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// typeName gives a type as folder.Name; "" for one that is not ours.
func typeName(e ast.Expr, folder string, imports map[string]string) string {
	switch e := e.(type) {
	case *ast.StarExpr:
		return typeName(e.X, folder, imports)
	case *ast.IndexExpr:
		return typeName(e.X, folder, imports)
	case *ast.IndexListExpr:
		return typeName(e.X, folder, imports)
	case *ast.Ident:
		return folder + "." + e.Name
	case *ast.SelectorExpr:
		if where := imports[e.X.(*ast.Ident).Name]; where != "" {
			return where + "." + e.Sel.Name
		}
	}
	return ""
}

// promoted gives the methods of a type with those of the types that it embeds.
func promoted(all map[string]*methodsOf, name string) map[string]bool {
	methods := map[string]bool{}
	if of := all[name]; of != nil {
		maps.Copy(methods, of.own)
		for _, e := range of.embedded {
			maps.Copy(methods, promoted(all, e))
		}
	}
	return methods
}

// TestNoTypeHasTooManyMethods: no type declares more than mostMethods, and none
// that other packages see has more with those that it inherits.
func TestNoTypeHasTooManyMethods(t *testing.T) {
	t.Parallel()
	all := typesIn(t, "../..")
	if len(all) < 500 || len(all["impose/pdfobj.Document"].own) < 15 {
		t.Fatalf("%d types were found: the test is looking at the wrong place", len(all))
	}
	for _, name := range slices.Sorted(maps.Keys(all)) {
		if n := len(all[name].own); n > mostMethods {
			t.Errorf("%s declares %d methods, want %d at most: split it into values of one purpose", name, n, mostMethods)
		}
		short := name[strings.LastIndex(name, ".")+1:]
		if n := len(promoted(all, name)); n > mostMethods && ast.IsExported(short) {
			t.Errorf("%s has %d methods with those of what it embeds, want %d at most: name what it holds", name, n, mostMethods)
		}
	}
}
