package job

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"
)

// nearer holds the keys that files and flags say which win over a house file,
// each with the text of its value; mappings have none.
type nearer map[string]*yaml.Node

// together are values of which a nearer file that says one of the first replaces
// all of the others: half of either would be of no press, no material and no
// printing condition.
var together = []struct{ say, with []string }{
	{[]string{"frame-max", "repeat", "teeth", "pitch"}, []string{"frame-max", "repeat", "teeth", "pitch"}},
	{[]string{"press"}, []string{"edge", "target-lane", "setup", "setup-time", "run-waste", "speed"}},
	{[]string{"material.name", "material.kind"}, []string{"material"}},
	{[]string{"output-intent.profile", "output-intent.condition", "output-intent.registry", "output-intent.info"},
		[]string{"output-intent.profile", "output-intent.condition", "output-intent.registry", "output-intent.info"}},
	{[]string{"flexo"}, []string{"flexo"}},
}

// says reports whether the value of a house file's key is of no use: a single
// value or a list is replaced by any other, a mapping only key by key, or by
// what switches it off.
func (n nearer) says(key string, value *yaml.Node) bool {
	if v, said := n[key]; said {
		both := value.Kind == yaml.MappingNode && (v.Kind == yaml.MappingNode || v.Value == "true")
		if !both {
			return true
		}
	}
	for _, t := range together {
		if slices.Contains(t.with, key) && slices.ContainsFunc(t.say, func(k string) bool { return n[k] != nil }) {
			return true
		}
	}
	return false
}

// add takes in all keys below a node.
func (n nearer) add(key string, node *yaml.Node) {
	if key != "" {
		n[key] = node
	}
	if node.Kind != yaml.MappingNode {
		return
	}
	for i := 0; i+1 < len(node.Content); i += 2 {
		n.add(joined(key, node.Content[i].Value), node.Content[i+1])
	}
}

// text takes in what a file says; what is no YAML says nothing.
func (n nearer) text(data []byte) {
	var doc yaml.Node
	if yaml.Load(inUTF8(data), &doc) == nil && len(doc.Content) > 0 {
		n.add("", doc.Content[0])
	}
}

// flags take in what a command line says.
func (n nearer) flags(said []Said) {
	for _, s := range said {
		if s.Flag.Kind == "bool" && s.Text == "false" && s.Flag.read != nil {
			continue // such a switch leaves the job as it is
		}
		keys := s.Flag.over
		if len(keys) == 0 {
			keys = []string{s.Flag.Name}
			if s.Flag.key != "" {
				keys[0] = s.Flag.key
			}
		}
		for _, k := range keys {
			n[strings.TrimSpace(k)] = &yaml.Node{Kind: yaml.ScalarNode, Value: s.Text}
		}
	}
}

// New returns what a job file that says nothing gives, over the house files. The
// flags that Override will put over it are said, so that nothing is taken in
// their place. dir is the job's folder.
func (h Houses) New(dir string, said []Said) (*Job, error) {
	near := nearer{}
	near.flags(said)
	return h.start(dir, near)
}

// start lays the house files over each other, the farthest first.
func (h Houses) start(dir string, near nearer) (*Job, error) {
	j := New()
	j.Dir = dir
	nears := make([]nearer, len(h)) // than each
	for i, house := range h {
		nears[i] = nearer{}
		for k, v := range near {
			nears[i][k] = v
		}
		near.text(house.text)
	}
	for i, house := range slices.Backward(h) {
		if err := house.under(j, nears[i]); err != nil {
			return nil, err
		}
	}
	return j, nil
}

// ReadJob reads a job file and the press file that it names, over the house files;
// see Houses.New. It doesn't ask what flags may still add: Validate does, when all
// is said. Faults of either file come as one *FileError, beside a job that holds
// whatever could be read; with any other error, as of a file that can't be opened,
// the job is nil.
func (h Houses) ReadJob(path string, said []Said) (*Job, error) {
	data, err := load(path, maxJobBytes)
	if err != nil {
		return nil, err
	}
	return h.parse(path, data, said, loadRegular)
}
