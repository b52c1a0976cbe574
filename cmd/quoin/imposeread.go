package main

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// read returns the job with the flags over it, once nothing is missing.
func (f *imposeFlags) read(path string) (*job.Job, error) {
	houses, err := f.house.find(foldersOf(path)...)
	if err != nil {
		return nil, err
	}
	j, err := readJob(path, houses, f.job.said())
	if err != nil {
		return nil, err
	}
	if err := f.job.apply(j); err != nil {
		return nil, err
	}
	if err := f.access.apply(j); err != nil {
		return nil, err
	}
	if err := asFlags(f.fs, j.Validate(), f.lacksOutput()); err != nil {
		return nil, err
	}
	return j, wholefile.Refuse(f.outputs(), j.Files())
}

// asFlags turns what is wrong with a job that came from no file into a fault of
// the command line, in its words: all that is missing at once, the output too.
func asFlags(fs *pflag.FlagSet, err error, lacksOutput bool) error {
	var file *job.FileError
	if err != nil && (!errors.As(err, &file) || file.Path != "" || len(file.Faults) == 0 || file.Faults[len(file.Faults)-1].Path != "") {
		return err // of a job file, or of a house file: those stand behind what has no place
	}
	var missing, texts, ways []string
	if file != nil {
		for _, f := range file.Faults {
			name := f.Of
			if flag := name[strings.LastIndexByte(name, '.')+1:]; fs.Lookup(flag) != nil { // "artworks[0].quantity" is --quantity
				name = "--" + flag
			}
			if f.Missing() {
				missing = append(missing, name)
			} else {
				texts = append(texts, f.TextOf(name))
			}
			if f.Hint != "" {
				ways = append(ways, f.Hint)
			}
		}
	}
	if lacksOutput {
		missing, ways = append(missing, "the output file"), append(ways, outputWay)
	}
	switch len(missing) {
	case 0:
	case 1:
		texts = append(texts, missing[0]+" is missing")
	default:
		texts = append(texts, say.List(missing)+" are missing")
	}
	if len(texts) == 0 {
		return nil
	}
	return usagef("%s", strings.Join(ways, "; "), strings.Join(texts, "; "))
}

func isJobFile(path string) bool {
	return slices.Contains([]string{".yaml", ".yml"}, strings.ToLower(filepath.Ext(path)))
}

// readJob returns the job of a job file, or one for a single artwork, over the
// house files; the flags that will go over it are said.
func readJob(path string, houses job.Houses, said []job.Said) (*job.Job, error) {
	if isJobFile(path) {
		return houses.ReadJob(path, said)
	}
	j, err := houses.New("", said)
	if err != nil {
		return nil, err
	}
	j.Name = strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	j.Artworks = []job.Artwork{{File: path, Page: 1}}
	return j, nil
}
