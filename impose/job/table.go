package job

import (
	"fmt"
	"slices"
	"strconv"

	"go.yaml.in/yaml/v4"
)

// field is a key that a T may hold, and how its value is read.
type field[T any] struct {
	key  string
	need bool
	read func(*T, value)
}

func keysOf[T any](table []field[T]) []string {
	keys := make([]string, len(table))
	for i, f := range table {
		keys[i] = f.key
	}
	return keys
}

// readMap reads a mapping into x by its table: every key known and said once,
// none empty, none missing that the table needs.
func readMap[T any](v value, x *T, table []field[T]) {
	if v.node.Kind != yaml.MappingNode {
		v.fault("holds "+kindName(v.node)+" where keys with values belong", "write keys here, as in "+table[0].key+": and its value")
		return
	}
	first := make([]int, len(table)) // line of each key, 0 when not seen
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		k, node := v.node.Content[i], v.node.Content[i+1]
		item := v.inner(joined(v.key, k.Value), node)
		at := place{k.Line, k.Column}
		n := -1
		for t := range table {
			if table[t].key == k.Value && k.Kind == yaml.ScalarNode {
				n = t
			}
		}
		switch {
		case n < 0 && v.key == "" && v.reader.skip != nil && slices.Contains(oneJobs, k.Value):
			v.reader.fault(at, k.Value, "is for one job to say", "write it in the job file, or give it as a flag")
		case n < 0:
			v.unknown(k, at, keysOf(table))
		case first[n] > 0:
			v.reader.fault(at, item.key, fmt.Sprintf("is given twice, first on line %d", first[n]), "keep one of the two")
		default:
			first[n] = k.Line
			if v.reader.skip != nil && v.reader.skip(item.key, node) {
				continue
			}
			if item.usable() {
				item.note()
				table[n].read(x, item)
			}
		}
	}
	for t, f := range table {
		if f.need && first[t] == 0 {
			v.missing(f.key)
		}
	}
}

// readSwitch reads what may be said in one word, true or false, or with details
// in a mapping, which says true.
func readSwitch[T any](v value, on *bool, x *T, table []field[T]) {
	if v.node.Kind == yaml.MappingNode {
		*on = true
		readMap(v, x, table)
		return
	}
	v.flag(on)
}

// readOptional is readSwitch for what is nil where it is off. What isn't said stays as
// it is in a house file, or else as usual.
func readOptional[T any](v value, x **T, usual T, table []field[T]) {
	on := false
	if *x != nil {
		usual = **x
	}
	readSwitch(v, &on, &usual, table)
	if *x = nil; on {
		*x = &usual
	}
}

func (v value) unknown(k *yaml.Node, at place, known []string) {
	if k.Kind != yaml.ScalarNode {
		v.reader.faultAt(at, v.key, "a key is "+kindName(k)+" where a word belongs", "")
		return
	}
	v.reader.faultAt(at, v.key, fmt.Sprintf("%q is no key here", shortened(k.Value)), meant(k.Value, known))
}

func (v value) missing(key string) {
	v.reader.fault(v.at, joined(v.key, key), missing, "")
}

// each hands out the items of a list.
func (v value) each(read func(value)) {
	if v.node.Kind != yaml.SequenceNode {
		v.fault("holds "+kindName(v.node)+" where a list belongs", "write each item on a line of its own behind a hyphen")
		return
	}
	for i, node := range v.node.Content {
		if item := v.inner(v.key+"["+strconv.Itoa(i)+"]", node); item.usable() {
			read(item)
		}
	}
}

// joined returns the path of a key inside another.
func joined(outer, key string) string {
	if outer == "" {
		return key
	}
	return outer + "." + key
}

// readItems reads a list of mappings, one table for each.
func readItems[T any](v value, x *[]T, table []field[T]) {
	v.each(func(item value) {
		var t T
		item.note()
		readMap(item, &t, table)
		*x = append(*x, t)
	})
}

// inner returns the value of a key that a node holds.
func (v value) inner(key string, node *yaml.Node) value {
	return value{v.reader, node, node.Value, key, place{node.Line, node.Column}}
}

// note remembers where the value stands.
func (v value) note() {
	at := v.at
	if v.reader.sheet {
		at.col = v.reader.cellColumn(at)
	}
	v.reader.source.values = append(v.reader.source.values, keyPlace{v.key, at})
}

// usable faults what no field takes: nothing at all, and what YAML has beyond
// plain values, which would let a small file grow without end.
func (v value) usable() bool {
	switch n := v.node; {
	case n.Kind == yaml.AliasNode:
		v.fault("is an alias", "write the value out: aliases are not understood here")
	case n.Style&yaml.TaggedStyle != 0:
		v.fault(fmt.Sprintf("has the tag %s", shortened(n.Tag)), "leave off the tag: every value is read as it is written")
	case n.Kind == yaml.ScalarNode && n.Tag == "!!null":
		v.fault("has no value", "give it one, or leave the key out")
	default:
		return true
	}
	return false
}

func kindName(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "keys with values"
	case yaml.SequenceNode:
		return "a list"
	case yaml.AliasNode:
		return "an alias"
	}
	return "a single value"
}

func shortened(s string) string {
	if r := []rune(s[:min(len(s), 200)]); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
