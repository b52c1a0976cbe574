package main

import (
	"strings"

	"github.com/spf13/pflag"
)

// flagRow is a flag as completion and manual show it; both are made from what
// the help is made from.
type flagRow struct {
	name, short string
	value       string // what the value is called; empty: the flag takes none
	usage       string
	choices     []string
}

// choices are the values of flags that take one of a few words; the verb stands
// before a flag that means something else elsewhere.
var choices = map[string][]string{
	"shape":       {"rectangle", "circle", "ellipse", "outline"},
	"turn":        {"auto", "0", "90", "180", "270"},
	"eye-side":    {"left", "right"},
	"paper":       {"a4", "letter"},
	"gang/lanes":  {"whole", "mixed"},
	"gang/rolls":  {"any", "whole"},
	"gang/by":     {"web", "minutes"},
	"gang/widths": {"equal", "mixed"},
}

// table lists the verb's flags in the order of its help.
func (v *verb) table() []flagRow {
	var rows []flagRow
	fs, _ := v.flags()
	fs.VisitAll(func(f *pflag.Flag) {
		row := flagRow{name: f.Name, short: f.Shorthand}
		row.value, row.usage = pflag.UnquoteUsage(f)
		if f.Value.Type() == "bool" {
			row.value = ""
		}
		row.choices = choices[f.Name]
		if own := choices[v.name+"/"+f.Name]; own != nil {
			row.choices = own
		}
		rows = append(rows, row)
	})
	return rows
}

// takesFile tells whether a flag's value names a file.
func (r flagRow) takesFile() bool { return strings.EqualFold(r.value, "file") || r.value == "folder" }
