package main

import (
	"encoding"
	"fmt"

	"github.com/spf13/pflag"
)

// textFlag is a flag whose value reads itself from text.
type textFlag struct {
	value interface {
		encoding.TextUnmarshaler
		encoding.TextMarshaler
	}
	kind string // what the help calls the value
	set  bool
}

func (f *textFlag) Set(s string) error {
	f.set = true
	return f.value.UnmarshalText([]byte(s))
}

func (f *textFlag) Type() string { return f.kind }

// String gives the value once it was set; a flag that wasn't shows no default.
func (f *textFlag) String() string {
	if f == nil || !f.set {
		return ""
	}
	b, err := f.value.MarshalText()
	if err != nil {
		return fmt.Sprint(err)
	}
	return string(b)
}

// funcFlag hands its text to a function.
type funcFlag struct {
	kind string
	text string
	take func(string) error
}

func (f *funcFlag) Set(s string) error {
	f.text = s
	return f.take(s)
}

func (f *funcFlag) Type() string   { return f.kind }
func (f *funcFlag) String() string { return f.text }

// textVar adds a flag for a value that reads itself, as lengths and sizes do.
func textVar[T any, P interface {
	*T
	encoding.TextUnmarshaler
	encoding.TextMarshaler
}](fs *pflag.FlagSet, name, kind, usage string, value P) {
	fs.Var(&textFlag{value: value, kind: kind}, name, usage)
}
