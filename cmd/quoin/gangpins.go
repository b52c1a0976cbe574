package main

import (
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/night"
)

// pins is a flag that is said once for each set of orders.
type pins struct{ sets *[][]string }

// pinVar adds a flag of sets of orders.
func pinVar(fs *pflag.FlagSet, sets *[][]string, name, usage string) {
	fs.Var(pins{sets}, name, usage)
}

func (p pins) Set(text string) error {
	set, err := night.ParsePin(text)
	if err == nil {
		*p.sets = append(*p.sets, set)
	}
	return err
}

func (p pins) String() string {
	var all []string
	if p.sets != nil {
		for _, set := range *p.sets {
			all = append(all, night.PinText(set))
		}
	}
	return strings.Join(all, ";")
}

func (p pins) Type() string { return "orders" }
