package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// measured finds a number that a sentence formats by itself, with its unit behind
// it: a length, an area, a share, a time.
var measured = regexp.MustCompile(`%[-+# 0-9]*(\.[0-9]+)?[feg](\s|\\u00a0)?(mm2?|m2?|µm|um|pt|%%|points|MB|kB|min|minutes|kg|dpi|ppi)([^a-zA-Z0-9]|$)`)

// ownVoice are the folders whose sentences write their numbers themselves, and why.
var ownVoice = map[string]string{
	"impose/say":             "is the one voice",
	"geometry":               "imports nothing of ours; its lengths write themselves alike",
	"geometry/outline":       "imports geometry alone",
	"geometry/outline/nest":  "imports geometry alone",
	"impose/witness":         "speaks to those who test",
	"impose/night/nighttest": "writes tables for tests",
}

// TestSentencesHaveOneVoice: no sentence outside impose/say formats a length or a
// share by a verb of its own.
func TestSentencesHaveOneVoice(t *testing.T) {
	for text, want := range map[string]bool{`"%.2f mm from"`: true, `"yield %.1f %%"`: true, `"%g m"`: true, `"M%.1f %.1f"`: false, `"%s mm"`: false, `"%.6f around"`: false} {
		if measured.MatchString(text) != want {
			t.Errorf("%s: found %v, want %v", text, !want, want)
		}
	}
	read := 0
	err := filepath.WalkDir("../..", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		folder, err := filepath.Rel("../..", filepath.Dir(file))
		if err != nil || ownVoice[filepath.ToSlash(folder)] != "" {
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if l, ok := n.(*ast.BasicLit); ok && l.Kind == token.STRING {
				read++
				if measured.MatchString(l.Value) {
					t.Errorf("%s: %s: write the number through impose/say", set.Position(l.Pos()), l.Value)
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if read < 5000 {
		t.Fatalf("only %d texts were read: the test is looking at the wrong place", read)
	}
}
