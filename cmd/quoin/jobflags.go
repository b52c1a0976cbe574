package main

import (
	"strconv"

	"github.com/spf13/pflag"

	"quoin/impose/job"
)

// jobFlags are the flags of a verb that say what a job file can say. They
// override it.
type jobFlags []*jobFlag

func (f *jobFlags) add(fs *pflag.FlagSet, tables ...[]job.Flag) {
	for _, table := range tables {
		for i := range table {
			v := &jobFlag{Flag: &table[i], said: table[i].Default}
			*f = append(*f, v)
			fs.Var(v, v.Name, v.Usage)
		}
	}
}

// said lists the flags that were given.
func (f jobFlags) said() (list []job.Said) {
	for _, v := range f {
		if v.given {
			list = append(list, job.Said{Flag: v.Flag, Text: v.text})
		}
	}
	return list
}

// apply puts the flags that were given over the job.
func (f jobFlags) apply(j *job.Job) error { return j.Override(f.said()) }

// jobFlag is one of them on a command line.
type jobFlag struct {
	*job.Flag
	text, said string // as written, and in the one way of the program
	given      bool
}

func (f *jobFlag) Set(text string) error {
	if f.Kind == "bool" {
		on, err := strconv.ParseBool(text)
		if err != nil {
			return err
		}
		text = strconv.FormatBool(on)
	}
	said, err := f.Check(text)
	if err != nil {
		return err
	}
	f.text, f.said, f.given = text, said, true
	return nil
}

func (f *jobFlag) Type() string      { return f.Kind }
func (f *jobFlag) String() string    { return f.said }
func (f *jobFlag) choices() []string { return f.Choices }

// IsBoolFlag lets a switch stand without its value.
func (f *jobFlag) IsBoolFlag() bool { return f.Kind == "bool" }
