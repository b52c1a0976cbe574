package vary

import (
	"slices"

	"quoin/impose/gs1"
	"quoin/impose/say"
)

// fieldSet is the fields of one label, which are checked together.
type fieldSet []*field

// together checks which GS1 identifiers stand on the label, over all of its
// symbols: each must have what it needs, and none that it excludes. Where a cell
// holds whole element strings, agree finds out record by record.
func (fs fieldSet) together() error {
	var ais []string
	for _, f := range fs {
		switch {
		case f.each != nil:
			ais = append(ais, f.ais...)
		case f.isItem():
			ais = append(ais, "01")
		case f.symbol.GS1():
			return nil
		}
	}
	return gs1.Together(ais)
}

// agree checks that the symbols of one record say the same under the same
// identifier, and what together had to leave open.
func (fs fieldSet) agree(values []string) error {
	carriers, open := 0, false
	for _, f := range fs {
		if f.each != nil || f.isItem() || f.symbol.GS1() {
			carriers++
		}
		open = open || f.each == nil && f.symbol.GS1()
	}
	if carriers < 2 && !open {
		return nil
	}
	var all []gs1.Element
	var ais []string
	for _, f := range fs {
		for _, e := range f.elements(values) {
			if i := slices.IndexFunc(all, func(a gs1.Element) bool { return a.AI == e.AI }); i < 0 {
				all, ais = append(all, e), append(ais, e.AI)
			} else if all[i].Value != e.Value {
				return fieldFault(f.Name, "let all symbols of the label say the same", say.Refuse(say.BadFile, "", "its (%s) is %q, and another symbol of the label says %q", e.AI, say.Clip(e.Value, 100), say.Clip(all[i].Value, 100)))
			}
		}
	}
	return gs1.Together(ais)
}
