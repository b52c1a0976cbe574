package edit

import (
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"

	"quoin/impose/say"
)

// step is one part of a key: a name in a mapping or, if that is empty, a place in
// a sequence.
type step struct {
	name  string
	index int
}

// steps reads a key such as "artworks[0].quantity" or "roll.core".
func steps(key string) ([]step, error) {
	var list []step
	for _, part := range strings.Split(key, ".") {
		name, rest, _ := strings.Cut(part, "[")
		if name == "" {
			return nil, say.Refuse(say.Usage, "write it as roll.core or artworks[0].quantity", "%q is no key", key)
		}
		list = append(list, step{name: name})
		for rest != "" {
			number, more, ok := strings.Cut(rest, "]")
			n, err := strconv.Atoi(number)
			if !ok || err != nil || n < 0 {
				return nil, say.Refuse(say.Usage, "write it as roll.core or artworks[0].quantity", "%q is no key", key)
			}
			list = append(list, step{index: n})
			rest = strings.TrimPrefix(more, "[")
		}
	}
	return list, nil
}

// entry is a key of a mapping or an item of a sequence, as found.
type entry struct {
	in    *yaml.Node // that holds it
	key   *yaml.Node // nil in a sequence
	value *yaml.Node
}

// seek parses a text and follows a key as far as it leads: path is all of its steps,
// found the entries on the way.
func seek(text, key string) (d *document, path []step, found []entry, err error) {
	if d, err = parse(text); err != nil {
		return nil, nil, nil, err
	}
	if path, err = steps(key); err != nil {
		return nil, nil, nil, err
	}
	return d, path, d.find(path), nil
}

// find follows the steps as far as they lead and gives the entries on the way.
func (d *document) find(list []step) []entry {
	var found []entry
	at := d.root
	for _, s := range list {
		if at == nil {
			return found
		}
		e, ok := child(at, s)
		if !ok {
			return found
		}
		found = append(found, e)
		at = e.value
	}
	return found
}

func child(n *yaml.Node, s step) (entry, bool) {
	switch {
	case s.name == "" && n.Kind == yaml.SequenceNode && s.index < len(n.Content):
		return entry{in: n, value: n.Content[s.index]}, true
	case s.name != "" && n.Kind == yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == s.name {
				return entry{n, n.Content[i], n.Content[i+1]}, true
			}
		}
	}
	return entry{}, false
}

// Get returns the value of a key as it is written, without quotes where it is one
// word or text; false where the file doesn't say it.
func Get(text []byte, key string) (value string, ok bool, err error) {
	d, list, found, err := seek(string(text), key)
	if err != nil || len(found) < len(list) {
		return "", false, err
	}
	e := found[len(found)-1]
	if e.value.Kind == yaml.ScalarNode {
		return e.value.Value, true, nil
	}
	end, err := d.end(e.value, d.indent(e))
	if err != nil {
		return "", true, err
	}
	return d.text[d.offset(e.value):end], true, nil
}

// Len returns how many items the sequence of a key has; 0 where there is none.
func Len(text []byte, key string) int {
	_, list, found, err := seek(string(text), key)
	if err == nil && len(found) == len(list) && found[len(found)-1].value.Kind == yaml.SequenceNode {
		return len(found[len(found)-1].value.Content)
	}
	return 0
}

// indent returns the column of an entry's key, or of its dash; the first is 0.
func (d *document) indent(e entry) int {
	if e.key != nil {
		return e.key.Column - 1
	}
	if e.in.Style&yaml.FlowStyle != 0 {
		return 0
	}
	return e.in.Column - 1
}

// Values returns every value by its key as it is written: single ones without their
// quotes, and lists in brackets as a whole. It is empty where the text is no
// YAML.
func Values(text []byte) map[string]string {
	all := map[string]string{}
	d, err := parse(string(text))
	if err != nil {
		return all
	}
	d.each(func(n *yaml.Node, key string, indent int) {
		switch n.Kind {
		case yaml.MappingNode:
		case yaml.SequenceNode:
			if end, err := d.end(n, indent); err == nil && n.Style&yaml.FlowStyle != 0 {
				all[key] = d.text[d.offset(n):end]
			}
		default:
			all[key] = n.Value
		}
	})
	return all
}

// each calls see with every node of the text, its key, and how far what it is in is
// indented.
func (d *document) each(see func(n *yaml.Node, key string, indent int)) {
	var walk func(n *yaml.Node, key string, indent int)
	walk = func(n *yaml.Node, key string, indent int) {
		see(n, key, indent)
		switch n.Kind {
		case yaml.MappingNode:
			for i := 0; i+1 < len(n.Content); i += 2 {
				walk(n.Content[i+1], strings.TrimPrefix(key+"."+n.Content[i].Value, "."), n.Column-1)
			}
		case yaml.SequenceNode:
			for i, c := range n.Content {
				walk(c, key+"["+strconv.Itoa(i)+"]", n.Column-1)
			}
		}
	}
	if d.root != nil {
		walk(d.root, "", 0)
	}
}
