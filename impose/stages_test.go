package impose

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
)

// stages are the prefixes of the files' names, each of which may use what files
// of its own stage or of earlier ones declare. Files without one of them hold
// what all stages may use.
var stages = []string{"", "read", "plan", "compose", "write", "sum", "open"}

func stageOf(file string) int {
	word, _, _ := strings.Cut(strings.TrimSuffix(filepath.Base(file), ".go"), "_")
	for i, s := range stages {
		if word == s {
			return i
		}
	}
	return 0
}

// emptyImporter stands for other packages: only this one's names count here.
type emptyImporter struct{}

func (emptyImporter) Import(name string) (*types.Package, error) {
	p := types.NewPackage(name, path.Base(name))
	p.MarkComplete()
	return p, nil
}

// resolved parses and resolves the package's files without their tests.
func resolved(t *testing.T) (*token.FileSet, []*ast.File, *types.Package, *types.Info) {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	set := token.NewFileSet()
	var files []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := parser.ParseFile(set, name, text, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	info := &types.Info{Uses: map[*ast.Ident]types.Object{}, Selections: map[*ast.SelectorExpr]*types.Selection{}}
	conf := types.Config{Importer: emptyImporter{}, Error: func(error) {}} // names of other packages aren't known
	pkg, _ := conf.Check("quoin/impose", set, files, info)
	return set, files, pkg, info
}

// TestNoStageKnowsALaterOne: no arrow runs back up between the files.
func TestNoStageKnowsALaterOne(t *testing.T) {
	set, _, pkg, info := resolved(t)
	arrows := 0
	for id, object := range info.Uses {
		if object.Pkg() != pkg || !object.Pos().IsValid() {
			continue
		}
		from, to := set.Position(id.Pos()), set.Position(object.Pos())
		if from.Filename == to.Filename {
			continue
		}
		arrows++
		if stageOf(to.Filename) > stageOf(from.Filename) {
			t.Errorf("%s uses %s, which the later stage %s declares", from, id.Name, to.Filename)
		}
	}
	if arrows < 200 {
		t.Fatalf("only %d uses across files were found: the test is looking at the wrong place", arrows)
	}
}

// TestStagesAreFilledWhereTheyAreMade: a stage's value is a literal, and nothing
// is set in it afterwards. None has more methods than one can keep in mind.
func TestStagesAreFilledWhereTheyAreMade(t *testing.T) {
	set, files, pkg, info := resolved(t)
	owner := map[types.Object]string{}
	for _, name := range []string{"Sources", "Planned", "Imposition", "Written"} {
		made := pkg.Scope().Lookup(name)
		if made == nil {
			t.Fatalf("there is no %s", name)
		}
		fields := made.Type().Underlying().(*types.Struct)
		for i := range fields.NumFields() {
			owner[fields.Field(i)] = name
		}
		if n := types.NewMethodSet(types.NewPointer(made.Type())).Len(); n > 25 {
			t.Errorf("%s has %d methods, those of earlier stages among them", name, n)
		}
	}
	reads := 0
	for _, selection := range info.Selections {
		if owner[selection.Obj()] != "" {
			reads++
		}
	}
	if reads < 100 {
		t.Fatalf("only %d uses of the stages' fields were found: the test is looking at the wrong place", reads)
	}
	refuse := func(e ast.Expr) {
		if s, ok := e.(*ast.SelectorExpr); ok && info.Selections[s] != nil {
			if name := owner[info.Selections[s].Obj()]; name != "" {
				t.Errorf("%s sets %s of %s", set.Position(e.Pos()), s.Sel.Name, name)
			}
		}
	}
	for _, f := range files {
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.AssignStmt:
				for _, left := range n.Lhs {
					refuse(left)
				}
			case *ast.IncDecStmt:
				refuse(n.X)
			}
			return true
		})
	}
}
