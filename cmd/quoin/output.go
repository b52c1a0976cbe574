package main

import (
	"fmt"
	"io"

	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// writeFile makes a file appear, whole, in place of none of the inputs.
func writeFile(path string, inputs []string, write func(io.Writer) error) (wholefile.Sum, error) {
	return wholefile.Write(path, wholefile.Options{Inputs: inputs}, func(w io.Writer) error {
		if err := write(w); err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		return nil
	})
}

// part is a file that a flag may have asked for.
type part struct {
	role, path string // path "": nobody did
	write      func(io.Writer) error
}

// writePart makes a file of the imposition appear, whole.
func (im *imposed) writePart(p part) error {
	sum, err := writeFile(im.place(p.path), im.frame.Inputs(), p.write)
	if err == nil {
		im.wrote(p.role, p.path, sum.SHA256)
	}
	return err
}

// writeAsked writes those that were asked for.
func writeAsked(list []part, write func(part) error) error {
	for _, p := range list {
		if p.path == "" {
			continue
		}
		if err := write(p); err != nil {
			return err
		}
	}
	return nil
}

// print prints a report, as JSON or for a person; what calls it.
func (s streams) print(asJSON bool, what string, report interface{ Text(io.Writer) error }) error {
	var err error
	if asJSON {
		err = say.JSON(s.out, report)
	} else {
		err = report.Text(s.out)
	}
	if err != nil {
		return fmt.Errorf("printing the %s: %w", what, err)
	}
	return nil
}
