package main

import (
	"fmt"
	"io"

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

// writePart makes a file of the imposition appear, whole.
func writePart(im *imposed, role, path string, write func(io.Writer) error) error {
	sum, err := writeFile(im.place(path), im.frame.Inputs(), write)
	if err == nil {
		im.wrote(role, path, sum.SHA256)
	}
	return err
}
