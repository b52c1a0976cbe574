package impose_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"
)

// TestPackageCommentNamesEveryEntryPoint holds the package comment to the functions
// that other packages call, and to the methods of an imposition.
func TestPackageCommentNamesEveryEntryPoint(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	var comment string
	var entries []string
	set := token.NewFileSet()
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(set, name, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		comment += file.Doc.Text()
		for _, d := range file.Decls {
			f, ok := d.(*ast.FuncDecl)
			switch {
			case !ok || !f.Name.IsExported():
			case f.Recv == nil:
				entries = append(entries, f.Name.Name)
			default:
				if of, ok := f.Recv.List[0].Type.(*ast.StarExpr); ok && of.X.(*ast.Ident).Name == "Imposition" {
					entries = append(entries, "Imposition."+f.Name.Name)
				}
			}
		}
	}
	if len(entries) < 20 {
		t.Fatalf("found only %d entry points: %v", len(entries), entries)
	}
	for _, e := range entries {
		if !strings.Contains(comment, "["+e+"]") {
			t.Errorf("the package comment does not name %s", e)
		}
	}
}
