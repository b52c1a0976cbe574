package job_test

import (
	"errors"
	"fmt"

	"quoin/impose/job"
)

// A program that has its job in memory learns of all its faults at once, each with
// its place and the line as it stands.
func ExampleHouses_ParseJob() {
	text := "web: 340mm\nlabel: 50 by 75\ngaps: 3mm\nartworks: [{file: cider.pdf, quantity: 5000}]\n"
	_, err := job.Houses(nil).ParseJob("night/job.yaml", []byte(text), nil)
	var faults *job.FileError
	if errors.As(err, &faults) {
		for _, f := range faults.Faults {
			fmt.Printf("line %d: %s\n", f.Line, f.Quote)
		}
	}
	// Output:
	// line 2: label: 50 by 75
	// line 3: gaps: 3mm
}
