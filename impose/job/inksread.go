package job

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v4"
)

var inkKeys = []field[InkRules]{
	{key: "aliases", read: readAliases},
	{key: "silence", read: func(i *InkRules, v value) { v.strs(&i.Silence) }},
	{key: "technical", read: func(i *InkRules, v value) { v.strs(&i.Technical) }},
	{key: "white", read: func(i *InkRules, v value) { v.strs(&i.White) }},
	{key: "varnish", read: func(i *InkRules, v value) { v.strs(&i.Varnish) }},
	{key: "spot", read: func(i *InkRules, v value) { v.strs(&i.Spot) }},
	{key: "underprint", read: func(i *InkRules, v value) { readOptional(v, &i.Underprint, DefaultUnderprint(), underprintKeys) }},
	{key: "limit", read: func(i *InkRules, v value) { v.inkLimit(&i.Limit) }},
}

// readAliases reads a mapping whose keys are the artworks' ink names.
func readAliases(i *InkRules, v value) {
	if v.node.Kind != yaml.MappingNode {
		v.fault("holds "+kindName(v.node)+" where pairs of ink names belong", "write each as 'name in the artwork: name to print'")
		return
	}
	line := map[string]int{}
	for n := 0; n+1 < len(v.node.Content); n += 2 {
		from := v.inner(v.key, v.node.Content[n])
		to := v.inner(v.key+"["+shortened(v.node.Content[n].Value)+"]", v.node.Content[n+1])
		a := Alias{}
		if from.usable() {
			from.str(&a.From)
		}
		if to.usable() {
			to.str(&a.To)
		}
		if a.From == "" || a.To == "" {
			continue
		}
		if before := line[a.From]; before > 0 {
			from.fault(fmt.Sprintf("%q is given twice, first on line %d", shortened(a.From), before), "keep one of the two")
			continue
		}
		line[a.From] = from.at.line
		to.note()
		i.Aliases = append(slices.DeleteFunc(i.Aliases, func(b Alias) bool { return b.From == a.From }), a) // that of a house file
	}
}

var underprintKeys = []field[Underprint]{
	{key: "ink", read: func(u *Underprint, v value) { v.str(&u.Ink) }},
	{key: "shape", read: func(u *Underprint, v value) { oneOf(v, &u.Shape, Flood, ByShape) }},
	{key: "choke", read: func(u *Underprint, v value) { v.length(&u.Choke, notNegative) }},
	{key: "hits", read: func(u *Underprint, v value) { count(v, &u.Hits, 1, 6) }},
}

var outputKeys = []field[OutputIntent]{
	{key: "profile", read: func(o *OutputIntent, v value) { v.str(&o.Profile) }},
	{key: "condition", read: func(o *OutputIntent, v value) { v.str(&o.Condition) }},
	{key: "registry", read: func(o *OutputIntent, v value) { v.str(&o.Registry) }},
	{key: "info", read: func(o *OutputIntent, v value) { v.str(&o.Info) }},
	{key: "conflict", read: func(o *OutputIntent, v value) { oneOf(v, &o.Conflict, Refuse, Warn) }},
}
