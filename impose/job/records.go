package job

import (
	"path/filepath"
	"strconv"
	"strings"
)

// records is a kind of file that lists many equal records, as YAML or as CSV.
// A record with a fault is left out, so that the others can go on without it.
type records[T any] struct {
	list   string // key of the list in a YAML file
	id     string // key that tells the records apart
	table  []field[T]
	start  func() T // a record that says nothing
	name   func(*T) string
	origin func(*T) *source
	check  func(*T, value) // compares what several keys say
}

// parse reads CSV when the path says so, otherwise YAML.
func (k records[T]) parse(path string, data []byte) ([]T, error) {
	c := collector[T]{kind: k, reader: newReader(path, data), first: map[string]int{}}
	if strings.EqualFold(filepath.Ext(path), ".csv") {
		c.readCSV()
	} else if root, ok := c.root(); ok {
		c.begin(&source{}, root.at, 1)
		readMap(root, &c, []field[collector[T]]{{c.kind.list, true, (*collector[T]).readList}})
	}
	if c.partial || c.full() {
		c.found = nil // what was not understood may have said anything
	}
	return c.found, c.err()
}

// collector gathers the records of one file.
type collector[T any] struct {
	kind records[T]
	*reader
	found   []T
	first   map[string]int // line of each name's first record
	partial bool           // a column was not understood, so that records may be incomplete
}

func (c *collector[T]) readList(v value) {
	if v.isList() {
		c.found = make([]T, 0, len(v.node.Content))
	}
	v.each(func(item value) {
		item.key = ""
		c.collect(item, func(x *T) { readMap(item, x, c.kind.table) })
	})
}

// collect reads one record and keeps it if nothing is wrong with it.
func (c *collector[T]) collect(v value, read func(*T)) {
	before := len(c.faults)
	c.found = append(c.found, c.kind.start())
	x := &c.found[len(c.found)-1]
	c.begin(c.kind.origin(x), v.at, len(c.kind.table))
	read(x)
	if len(c.faults) == before && !c.partial {
		c.kind.check(x, v)
	}
	name := c.kind.name(x)
	if line := c.first[name]; line > 0 {
		at, _ := c.source.find(c.kind.id)
		c.fault(at, c.kind.id, c.kind.id+": "+shortened(name)+" is already in line "+strconv.Itoa(line), "keep one of the two")
	} else if name != "" {
		c.first[name] = v.at.line
	}
	for i := before; i < len(c.faults); i++ {
		c.faults[i].Record = name
	}
	if len(c.faults) > before {
		c.found = c.found[:len(c.found)-1]
	}
}
