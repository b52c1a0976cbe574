package main

import (
	"encoding"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/job"
	"quoin/impose/say"
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

// Set takes what isn't negative: no verb has another use for a length or a share.
func (f *textFlag) Set(s string) error {
	f.set = true
	if err := f.value.UnmarshalText([]byte(s)); err != nil {
		return err
	}
	if strings.HasPrefix(f.String(), "-") {
		return errors.New("must not be negative")
	}
	return nil
}

func (f *textFlag) Type() string { return f.kind }

// String returns the value once it was set; a flag that wasn't shows no default.
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

// textVar adds a flag for a value that reads itself, as lengths and shares do.
func textVar[T any, P interface {
	*T
	encoding.TextUnmarshaler
	encoding.TextMarshaler
}](fs *pflag.FlagSet, name, kind, usage string, value P) {
	fs.Var(&textFlag{value: value, kind: kind}, name, usage)
}

// numberFlag is a flag whose number is written as in files: 25,000 or 1600dpi.
type numberFlag struct {
	kind, text string
	set        func(string) (int64, error)
}

func (f *numberFlag) Set(s string) error {
	n, err := f.set(s)
	if err == nil {
		f.text = strconv.FormatInt(n, 10)
	}
	return err
}

func (f *numberFlag) Type() string   { return f.kind }
func (f *numberFlag) String() string { return f.text }

// mostCounted is the most that a flag counts.
const mostCounted = 1_000_000_000

// countVar adds a flag for a whole number of at least so many; without it the
// value stays 0.
func countVar(fs *pflag.FlagSet, value *int64, name string, least int64, usage string) {
	fs.Var(&numberFlag{kind: "int", text: "0", set: func(s string) (n int64, err error) {
		*value, err = job.ParseCount(s, least, mostCounted)
		return *value, err
	}}, name, usage)
}

// dpiVar adds a flag for a resolution.
func dpiVar(fs *pflag.FlagSet, value *int, name, usage string) {
	fs.Var(&numberFlag{kind: "int", text: strconv.Itoa(*value), set: func(s string) (n int64, err error) {
		*value, err = job.ParseDPI(s)
		return int64(*value), err
	}}, name, usage)
}

// fileFlag names a file to be written, whose ending says in which form.
type fileFlag struct {
	path    *string
	endings []string
}

// fileVar adds a flag that names a file of one of the endings.
func fileVar(fs *pflag.FlagSet, path *string, name string, endings []string, usage string) {
	fs.Var(&fileFlag{path, endings}, name, usage)
}

func (f *fileFlag) Set(s string) error { *f.path = s; return nil }
func (f *fileFlag) Type() string       { return "string" }
func (f *fileFlag) String() string     { return *f.path }

// ends refuses a file of another ending.
func (f *fileFlag) ends(flag string) error { return endsIn(flag, *f.path, f.endings...) }

// endsIn refuses a file that a flag names and that has none of the endings.
func endsIn(flag, path string, endings ...string) error {
	if path == "" || slices.Contains(endings, strings.ToLower(filepath.Ext(path))) {
		return nil
	}
	return usagef("--%s %s doesn't say what to write", "end the name in "+say.Either(endings), flag, path)
}

// choiceFlag takes one of a few words.
type choiceFlag struct {
	value *string
	list  []string
}

// choiceVar adds a flag that takes one of the words; the first is its default.
func choiceVar(fs *pflag.FlagSet, value *string, name, usage string, list ...string) {
	*value = list[0]
	fs.Var(&choiceFlag{value, list}, name, usage)
}

// wordVar adds a flag that takes one of the words, and none by default.
func wordVar(fs *pflag.FlagSet, value *string, name, usage string, list ...string) {
	fs.Var(&choiceFlag{value, list}, name, usage)
}

func (f *choiceFlag) Set(s string) error {
	for _, word := range f.list {
		if strings.EqualFold(word, s) {
			*f.value = word
			return nil
		}
	}
	return usagef("not known here", "say "+say.Either(f.list))
}

func (f *choiceFlag) Type() string      { return "string" }
func (f *choiceFlag) String() string    { return *f.value }
func (f *choiceFlag) choices() []string { return f.list }
