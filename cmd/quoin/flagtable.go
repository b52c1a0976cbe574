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
	choices     []string // words that it takes, where they are few
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
		if few, ok := f.Value.(interface{ choices() []string }); ok {
			row.choices = few.choices()
		}
		rows = append(rows, row)
	})
	return rows
}

// takesFile reports whether a flag's value names a file.
func (r flagRow) takesFile() bool { return strings.EqualFold(r.value, "file") || r.value == "folder" }
