package job

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

// sameAsLibrary fails when the plain parser takes a file that the library
// refuses or reads otherwise, and reports whether it took it.
func sameAsLibrary(t interface{ Fatalf(string, ...any) }, data []byte) bool {
	r := newReader("file.yaml", data)
	if !r.readable() {
		return false
	}
	plain, ok := plainYAML(r.text)
	if !ok {
		return false
	}
	full, ok := r.anyYAML()
	if !ok {
		t.Fatalf("the library refuses what the plain parser takes: %v\n%s", r.err(), data)
	}
	if got, want := outline(plain), outline(full); got != want {
		t.Fatalf("the plain parser reads\n%swhere the library reads\n%sin\n%s", got, want, data)
	}
	return true
}

// outline writes a tree with all that a reader of the tree may ask for.
func outline(n *yaml.Node) string {
	var b strings.Builder
	var walk func(n *yaml.Node, depth int)
	walk = func(n *yaml.Node, depth int) {
		fmt.Fprintf(&b, "%*s%d:%d kind %d style %d %q null %t anchor %q\n",
			depth, "", n.Line, n.Column, n.Kind, n.Style, n.Value, n.Tag == "!!null", n.Anchor)
		for _, inner := range n.Content {
			walk(inner, depth+1)
		}
	}
	walk(n, 0)
	return b.String()
}

func TestPlainYAMLTakesLists(t *testing.T) {
	sample, err := os.ReadFile(samples + "dies.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{
		"sample":        sample,
		"Windows":       bytes.ReplaceAll(sample, []byte("\n"), []byte("\r\n")),
		"long list":     dieRoom(1000, yamlDie, "dies:\n"),
		"hyphens":       []byte("orders:\n- order: '7'\n  inks: [\"Ü 1\", 'a' , b c]  # three\n- order: 8\n  due: 2026-03-31\nlast: yes"),
		"other letters": []byte("# Größe\ndies:\n  - number: \"\" # none\n    place: Öfen 3#4 - a:b, [c]\n"),
		"deep":          []byte("a:\n  b:\n    - c:\n      - 1\n      - -2mm\n      - ../d.pdf\n    - e: f\n  g: h\n"),
		"long text":     []byte("dies:\n  - " + strings.Repeat("x ", 3000) + "\n  - '" + strings.Repeat("x", 3000) + "'\n"),
	} {
		if !sameAsLibrary(t, data) {
			t.Errorf("%s: left to the library", name)
		}
	}
}

func TestPlainYAMLLeavesTheRest(t *testing.T) {
	for _, text := range []string{
		"", "# nothing", "word", "a: &x 1", "a: *x", "a: !!str 1", "a: |\n  b", "a: >\n  b", "a:\tb", "a: b\n  c", "- a\n  b",
		"a:", "a: # c\nb: 1", "a: ~", "a: null", "null: 1", "<<: 1", "---\na: 1", "a: 1\n---\nb: 1", "a: 1\n...", "%YAML 1.2\n---\na: 1",
		"a: b: c", "a: b:", "a : b", "a:b", "a: \"b\\n\"", "a: 'b''c'", "a: 'b", "a: 'b' c", "a: \"b\"#c", "a: [b", "a: [b,]", "a: [b: c]",
		"a: [b\n]", "a: [[b]]", "a: [b]#c", "a: {b: c}", "? a\n: b", "'a': b", "- - a", "-\n  a: 1", "- a: 1\n   b: 2", "a: 1\n b: 2", " a: 1\nb: 2",
		"a:\n    - b\n  - c", "a: @b", "a: `b", "a: \U0001F600", "a: \ufeffb", strings.Repeat("k", 65) + ": 1", strings.Repeat(" ", 101) + "a: 1",
	} {
		if root, ok := plainYAML(text); ok {
			t.Errorf("%q is taken as\n%s", text, outline(root))
		}
	}
}

// plainFile draws a file of the plain kind.
func plainFile(t *rapid.T) string {
	word := rapid.SampledFrom([]string{"a", "0101", "50x75mm", "1/8in CP", "-2mm", ".5mm", "Ü b", "'a # b'", `"c: d"`, "[a, b]", "['x', \"y z\"]",
		"a:b", "x#y", "2026-03-31", "true", "./a.pdf", "''", "3x4.375mm # gap", "e,f", "[a]  # c"})
	space := rapid.SampledFrom([]string{"", "", "", " ", "   "})
	var block func(indent, depth int) string
	block = func(indent, depth int) string {
		var b strings.Builder
		isList := rapid.Bool().Draw(t, "list")
		for range rapid.IntRange(1, 4).Draw(t, "items") {
			b.WriteString(rapid.SampledFrom([]string{"", "", "", "\n", "# comment\n", "      # c: d\n"}).Draw(t, "above"))
			b.WriteString(strings.Repeat(" ", indent))
			if isList {
				b.WriteString("- " + space.Draw(t, "space"))
			} else {
				b.WriteString(rapid.SampledFrom([]string{"a", "lanes", "labels-per-roll", "x_1", "0b"}).Draw(t, "key") + ":")
			}
			switch {
			case depth > 0 && !isList && rapid.Bool().Draw(t, "inner"):
				b.WriteString("\n" + block(indent+rapid.SampledFrom([]int{2, 2, 4, 0}).Draw(t, "step"), depth-1))
			case depth > 0 && isList && rapid.Bool().Draw(t, "inner"):
				b.WriteString("k: 1\n" + strings.Repeat(" ", indent+2) + "m:\n" + block(indent+4, depth-1))
			default:
				b.WriteString(" " + space.Draw(t, "space") + word.Draw(t, "word") + space.Draw(t, "space") + "\n")
			}
		}
		return b.String()
	}
	return block(0, 3)
}

func TestPlainYAMLIsReadAsTheLibraryDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sameAsLibrary(t, []byte(plainFile(t)))
	})
}

func TestMutatedYAMLIsReadAsTheLibraryDoes(t *testing.T) {
	splice := rapid.SampledFrom([]string{"", " ", "  ", "\n", "\n  ", "\r\n", ":", ": ", "#", " #", "-", "- ", "'", "\"", "\\", "[", "]", ",", "{", "}",
		"&a", "*a", "!", "!!str", "|", ">", "?", "? ", "%", "@", "~", "null", "<<", "---", "---\n", "...", "\t", "=", "é", "\u00a0", "\ufeff", "a", "a: b", "\na: b\n"})
	rapid.Check(t, func(t *rapid.T) {
		s := plainFile(t)
		for range rapid.IntRange(1, 3).Draw(t, "changes") {
			at := rapid.IntRange(0, len(s)).Draw(t, "at")
			end := min(len(s), at+rapid.IntRange(0, 3).Draw(t, "cut"))
			s = s[:at] + splice.Draw(t, "splice") + s[end:]
		}
		sameAsLibrary(t, []byte(s))
	})
}

func FuzzPlainYAML(f *testing.F) {
	seeds(f, samples+"*.yaml", filepath.Join("testdata", "faults", "*.yaml"))
	f.Add([]byte(fullJob))
	f.Add(dieRoom(2, yamlDie, "dies:\n"))
	f.Add([]byte("a:\n- 'b' # c\n- [d, \"e\"]\n- f: g\n  h:\n    i: j\n"))
	f.Fuzz(func(t *testing.T, data []byte) { sameAsLibrary(t, data) })
}
