package main

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/colour"
	"quoin/impose/colour/condition"
	"quoin/impose/colour/cxf"
)

// targetFlags ask for the list of colour targets, for a measuring device.
type targetFlags struct {
	paths targetPaths
	aims  aimFlags
}

// targetPaths are the files that the list is written to, and the repeats that it
// has rows of.
type targetPaths struct {
	files   []string
	repeats colour.Repeats
}

// targetEndings are the forms of the list: the exchange form of ISO 28178, a
// spreadsheet's, and the spots' spectra.
var targetEndings = []string{".txt", ".csv", ".cxf"}

func (p *targetPaths) add(fs *pflag.FlagSet) {
	fs.StringArrayVar(&p.files, "targets", nil, "write where the targets stand and what they should be to this `FILE`: .txt (ISO 28178), .csv, or .cxf (the spots' spectra); may be repeated")
	textVar(fs, "target-repeats", "repeats", "list the targets of these repeats of the run, counted from 1, with frame and metre, as 1,100-200, 1-5000/50 for every fiftieth, or all; the frame once by default", &p.repeats)
}

func (p targetPaths) check() error {
	for _, path := range p.files {
		if err := endsIn("targets", path, targetEndings...); err != nil {
			return err
		}
	}
	return nil
}

func (f *targetFlags) add(fs *pflag.FlagSet) {
	f.paths.add(fs)
	f.aims.add(fs)
}

func (f *targetFlags) write(im *imposed) error {
	if len(f.paths.files) == 0 {
		return nil
	}
	run, err := runOf(im)
	if err != nil {
		return err
	}
	found := &condition.Found{}
	if p := im.frame.Job.Output.Profile; p != "" && f.aims.profile == "" {
		if err := found.Read(im.frame.Job.Path(p)); err != nil {
			return err
		}
	}
	for _, p := range im.frame.Pages {
		found.Add(p)
	}
	aims, err := f.aims.aims(found)
	if err != nil {
		return err
	}
	for _, path := range f.paths.files {
		if err := im.writePart(part{"targets", path, func(w io.Writer) error { return writeTargets(w, path, run, aims, found, f.paths.repeats) }}); err != nil {
			return err
		}
	}
	return nil
}

func writeTargets(w io.Writer, path string, run *colour.PressRun, aims *colour.Aims, found *condition.Found, repeats colour.Repeats) error {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".csv":
		return run.WriteTargetsCSV(w, aims, repeats)
	case ".cxf":
		inks := run.Solids(aims)
		spots := slices.DeleteFunc(slices.Clone(found.Spectra), func(c cxf.Colour) bool { return !slices.Contains(inks, c.Name) })
		if len(spots) == 0 {
			return usagef("no artwork carries the spectra of an ink that is printed", "write the targets to a .txt or .csv file, with the spots in --house FILE")
		}
		return cxf.Write(w, "quoin", spots)
	default:
		return run.WriteTargets(w, aims, repeats)
	}
}

// runOf returns the imposition's summary in the form that colour reads.
func runOf(im *imposed) (*colour.PressRun, error) {
	summary, err := im.summary()
	if err != nil {
		return nil, err
	}
	data, err := json.Marshal(summary)
	if err != nil {
		return nil, fmt.Errorf("the summary: %w", err)
	}
	return colour.ParseRun("the summary", data)
}
