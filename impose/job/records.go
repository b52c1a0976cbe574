package job

import (
	"bytes"
	"fmt"
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

	// same reports whether two records of one name say the same: one of them is
	// then kept with a word, and of two that differ none is. Without it, the
	// second is at fault.
	same func(a, b *T) bool
	// extra says that a CSV file may have columns that are of no use here;
	// ignorable, when it is set, may object to what stands in one of them.
	extra     bool
	ignorable func(column, text string) (why, hint string)
	decimals  []string // keys whose values may have decimals
	counts    []string // keys whose values are counts
}

// parse reads a table, from CSV or a workbook, when path or contents say so,
// otherwise YAML. The words are for people; nothing is wrong with what they are
// about.
func (k records[T]) parse(path string, data []byte, form OrderForm) (found []T, words []Fault, err error) {
	c := collector[T]{kind: k, first: map[string]*firstOf{}, dropped: map[int]bool{}}
	switch kindOf(path, data) {
	case workbook:
		c.reader = newReader(path, nil)
		c.reader.orders = c.kind.extra
		if c.reader.form = form; c.readSheet(data) {
			c.readCSV()
		}
	case table:
		text, guess := decoded(data, form.Encoding)
		c.reader = newReader(path, text)
		c.reader.orders = c.kind.extra
		if c.reader.form = form; guess != "" {
			c.reader.word(place{1, 1}, "the file is not in UTF-8, and is read as "+guess, "if letters come out wrong, say what it is in with --encoding")
		}
		c.readCSV()
	default:
		c.reader = newReader(path, data)
		if root, ok := c.reader.root(); ok {
			c.reader.begin(&source{}, root.at, 1)
			readMap(root, &c, []field[collector[T]]{{c.kind.list, true, (*collector[T]).readList}})
		}
	}
	if c.partial || c.reader.full() {
		c.found = nil // what was not understood may have said anything
	}
	if err = c.reader.err(); err != nil {
		err.(*FileError).Whole = c.found == nil
	}
	if len(c.dropped) > 0 {
		kept := []T{}
		for i := range c.found {
			if !c.dropped[i] {
				kept = append(kept, c.found[i])
			}
		}
		c.found = kept
	}
	return c.found, c.reader.words, err
}

// collector gathers the records of one file.
type collector[T any] struct {
	kind    records[T]
	reader  *reader
	found   []T
	first   map[string]*firstOf // each name's first record
	dropped map[int]bool        // records found that another contradicts
	partial bool                // a column was not understood, so that records may be incomplete
}

// fileKind is how a list is written.
type fileKind int

const (
	yamlText fileKind = iota
	table
	workbook
)

// kindOf goes by the path's ending, but for workbooks, which often have a wrong one.
func kindOf(path string, data []byte) fileKind {
	switch ext := strings.ToLower(filepath.Ext(path)); {
	case ext == ".xlsx" || ext == ".xlsm" || ext == ".xls" || bytes.HasPrefix(data, zipMagic) || bytes.HasPrefix(data, compoundMagic):
		return workbook
	case ext == ".csv" || ext == ".tsv" || ext == ".txt" || ext == ".tab":
		return table
	}
	return yamlText
}

// firstOf is the first record of a name.
type firstOf struct {
	line, index int
	at          place // of the name
	bad, told   bool  // it is left out; it is said that another contradicts it
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
	before := len(c.reader.faults)
	c.found = append(c.found, c.kind.start())
	x := &c.found[len(c.found)-1]
	c.reader.begin(c.kind.origin(x), v.at, len(c.kind.table))
	read(x)
	if len(c.reader.faults) == before && !c.partial {
		c.kind.check(x, v)
	}
	name := c.kind.name(x)
	at, _ := c.reader.source.find(c.kind.id)
	first, again := c.first[name], false
	switch {
	case name == "":
	case first == nil:
		c.first[name] = &firstOf{line: v.at.line, index: len(c.found) - 1, at: at, bad: len(c.reader.faults) > before}
	case c.kind.same == nil:
		c.reader.fault(at, c.kind.id, shortened(name)+" is already in line "+strconv.Itoa(first.line), "keep one of the two")
	case len(c.reader.faults) == before && !first.bad && c.kind.same(&c.found[first.index], x):
		again = true
		c.reader.word(at, c.kind.id+": "+shortened(name)+" is in line "+strconv.Itoa(first.line)+" too, and says the same: it is taken once", "")
		c.reader.words[len(c.reader.words)-1].Record = name
	default:
		c.contradict(first, at, v.at.line, name)
	}
	for i := before; i < len(c.reader.faults); i++ {
		c.reader.faults[i].Record = name
	}
	if len(c.reader.faults) > before || again {
		c.found = c.found[:len(c.found)-1]
	}
}

// contradict faults two records of one name: which of them is right, nobody
// knows.
func (c *collector[T]) contradict(first *firstOf, at place, line int, name string) {
	const hint = "keep the one that is right; neither is taken"
	say := func(at place, other int) {
		c.reader.fault(at, c.kind.id, fmt.Sprintf("%s is in line %d too, and not the same", shortened(name), other), hint)
	}
	if !first.told {
		say(first.at, line)
	}
	if !first.bad {
		c.dropped[first.index] = true
	}
	first.bad, first.told = true, true
	say(at, first.line)
}
