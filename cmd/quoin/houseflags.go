package main

import (
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/job"
	"quoin/impose/say"
)

// houseFlags say which house files a job begins from.
type houseFlags struct {
	file string
	none bool
}

func (f *houseFlags) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.file, "house-file", "", "take the house's press, web, marks and the like from this `file` only ("+job.HouseFile+" beside the job, and your own)")
	fs.BoolVar(&f.none, "no-house", false, "take nothing from house files")
}

// find reads the house files for a job in a folder. Of several folders it is the
// first that has one, or else the user's own is alone.
func (f *houseFlags) find(folders ...string) (job.Houses, error) {
	switch {
	case f.none:
		return nil, nil
	case f.file != "":
		h, err := job.ReadHouse(f.file)
		if err != nil {
			return nil, err
		}
		return job.Houses{h}, nil
	}
	for _, dir := range folders {
		if _, err := os.Stat(filepath.Join(dir, job.HouseFile)); err == nil {
			return job.FindHouses(dir)
		}
	}
	return job.FindHouses(folders[0])
}

// foldersOf returns where the house file of a job may be: beside its job file; for
// a bare artwork beside it, and then in the working folder.
func foldersOf(path string) []string {
	if isJobFile(path) {
		return []string{filepath.Dir(path)}
	}
	return []string{filepath.Dir(path), "."}
}

// took says what a job took from where.
func (s streams) took(j *job.Job) {
	for _, t := range j.Took {
		for _, k := range t.Keys {
			s.note("%s is %s, from %s:%d", k.Key, k.Value, t.Path, k.Line)
		}
		if text := gives(t); text != "" {
			s.tell("%s", text)
		}
	}
}

// gives names a house file's keys that were taken; "" where none was.
func gives(t job.Took) string {
	var tops []string
	for _, k := range t.Keys {
		top, _, _ := strings.Cut(k.Key, ".")
		if len(tops) == 0 || tops[len(tops)-1] != top {
			tops = append(tops, top)
		}
	}
	if len(tops) == 0 {
		return ""
	}
	return t.Path + " gives " + say.List(tops)
}
