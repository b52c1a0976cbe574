package report

import (
	"encoding/json"
	"fmt"
	"io"

	"quoin/impose/night/folder"
	"quoin/impose/night/plan"
)

// planFile holds the plan for programs.
const planFile = "plan.json"

// Write writes the plan into the night's folder, as JSON, text and HTML.
func Write(f *folder.Folder, p *plan.Plan) error {
	type file struct {
		name string
		fill func(io.Writer, *plan.Plan) error
	}
	files := []file{{planFile, JSON}, {"report.txt", Text}, {"report.html", HTML}}
	if p.Total.Money != nil {
		files = append(files, file{"runs.csv", CSV})
	}
	for _, file := range files {
		if _, err := f.Write(file.name, func(w io.Writer) error { return file.fill(w, p) }); err != nil {
			return err
		}
	}
	return nil
}

// Read reads the plan of a finished night again, for its reports.
func Read(f *folder.Folder) (*plan.Plan, error) {
	file, err := f.Open(planFile)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	var p plan.Plan
	if err := json.NewDecoder(file).Decode(&p); err != nil {
		return nil, fmt.Errorf("reading the plan of the finished night: %w", err)
	}
	return &p, nil
}
