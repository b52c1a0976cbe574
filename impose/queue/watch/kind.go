package watch

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"go.yaml.in/yaml/v4"

	"quoin/impose/job"
)

// Kind is what a file asks for.
type Kind string

// The kinds.
const (
	Job    Kind = "job"    // a job file
	Run    Kind = "run"    // a job file whose labels all differ, by its data
	Orders Kind = "orders" // an order list
	PDF    Kind = "pdf"    // a bare artwork, with the settings of a defaults file
)

// tables are endings of order lists; .txt is too, where it reads as one.
var tables = []string{".csv", ".tsv", ".tab", ".xlsx", ".xlsm", ".xls"}

// pictures are endings of artworks.
var pictures = []string{".pdf", ".png", ".jpg", ".jpeg"}

// kind returns what a file asks for; "" for nothing. named are the tables that a
// job, a house or settings speak of, as dies or as records.
func (w *Watcher) kind(path string, named map[string]bool) Kind {
	switch {
	case filepath.Base(path) == Defaults, named[path]:
	case isYAML(path), isTable(path):
		return w.notes(path).kind
	case endsIn(path, ".pdf") && w.defaults(filepath.Dir(path)) != "":
		return PDF // without settings it is an artwork that some job or order names
	}
	return ""
}

func isYAML(path string) bool  { return endsIn(path, ".yaml", ".yml") }
func isTable(path string) bool { return endsIn(path, ".txt") || endsIn(path, tables...) }

func endsIn(path string, list ...string) bool {
	return slices.Contains(list, strings.ToLower(filepath.Ext(path)))
}

// ofTable takes every table for an order list, so that one with a fault is refused
// with the reason: but a die room, and a text that is none. doubt says that it does
// not read as one.
func ofTable(path string, data []byte) (k Kind, doubt bool) {
	if (job.OrderForm{}).Lists(path, data) {
		return Orders, false
	}
	if dies, err := job.ParseDies(path, data); endsIn(path, ".txt") || err == nil && len(dies.Dies) > 0 {
		return "", false
	}
	return Orders, true
}

// note is what was read in a file.
type note struct {
	size    int64
	changed time.Time
	kind    Kind
	names   []string // the paths of tables and artworks that it names
	doubt   bool     // see ofTable
	columns bool     // it says how order lists are written
}

// mostNote bounds what is looked at: a larger YAML file is no job, a larger text no
// order list.
const mostNote = 32 << 20

// notes reads a YAML file or a table unless it was read as it is.
func (w *Watcher) notes(path string) note {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return note{}
	case info.Size() > mostNote && endsIn(path, tables...):
		return note{kind: Orders} // which is refused for its size
	case info.Size() > mostNote:
		return note{}
	}
	if n, ok := w.read[path]; ok && n.size == info.Size() && n.changed.Equal(info.ModTime()) {
		return n
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return note{}
	}
	n := note{size: info.Size(), changed: info.ModTime()}
	if isTable(path) {
		n.kind, n.doubt = ofTable(path, data)
		n.names = artworks(path, data)
		w.read[path] = n
		return n
	}
	var root yaml.Node
	if err := yaml.Unmarshal(data, &root); err != nil || len(root.Content) != 1 || root.Content[0].Kind != yaml.MappingNode {
		n.kind = torn(data)
	} else {
		n.kind, n.columns = mapping(root.Content[0])
		n.names = values(&root, filepath.Dir(path))
	}
	w.read[path] = n
	return n
}

// mapping tells a job and an order list from presses, dies and houses; columns says
// that it tells how order lists are written.
func mapping(m *yaml.Node) (k Kind, columns bool) {
	for i := 0; i+1 < len(m.Content); i += 2 {
		switch key, value := m.Content[i].Value, m.Content[i+1]; {
		case key == "artworks" && k == "":
			k = Job
		case key == "data":
			k = Run
		case key == "orders" && value.Kind == yaml.SequenceNode && k == "":
			k = Orders
		case key == "orders" && value.Kind == yaml.MappingNode:
			columns = true
		}
	}
	return k, columns
}

var (
	jobLine   = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(?m)^["']?artworks["']?[ \t]*:`) })
	orderLine = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?m)^["']?orders["']?[ \t]*:[ \t]*(#.*)?(\n[ \t]*(#.*)?)*\n?[ \t]*(-[ \t]|\[)`)
	})
)

// torn says what a file that is no YAML was meant to be, so that it is refused with
// the reason.
func torn(data []byte) Kind {
	switch {
	case jobLine().Match(data):
		return Job
	case orderLine().Match(data):
		return Orders
	}
	return ""
}

// values returns the values of a YAML file that have the endings of tables or
// artworks, as paths.
func values(n *yaml.Node, dir string) (list []string) {
	if n.Kind == yaml.ScalarNode && (isTable(n.Value) || endsIn(n.Value, pictures...)) {
		path := filepath.FromSlash(n.Value)
		if !filepath.IsAbs(path) {
			path = filepath.Join(dir, path)
		}
		list = append(list, filepath.Clean(path))
	}
	for _, c := range n.Content {
		list = append(list, values(c, dir)...)
	}
	return list
}

// out returns where the files of an item go, without an ending: a name that no
// other item has. What has an ending of its kind's own is called without it; all
// others keep theirs.
func out(dir, name string, k Kind) string {
	clean := map[Kind]string{Job: ".yaml", Run: ".yaml", Orders: ".csv", PDF: ".pdf"}[k]
	behind := map[Kind]string{Job: "-job", Run: "-run", Orders: "-night"}[k]
	stem, plain := strings.CutSuffix(name, clean)
	if !plain || isYAML(stem) || isTable(stem) || endsIn(stem, ".pdf") ||
		k == PDF && hasEnd(stem, "-job", "-run", "-night") {
		stem = name
	}
	return filepath.Join(dir, filepath.FromSlash(stem)+behind)
}
