package night

import (
	"io"

	"quoin/impose/night/folder"
)

// The files of a night beside those of its runs.
const (
	PlanFile   = "plan.json"
	TextFile   = "report.txt"
	ReportFile = "report.html"
)

// Report writes the plan into the folder, as JSON, text and HTML.
func (p *Plan) Report(f *folder.Folder) error {
	for _, file := range []struct {
		name string
		fill func(io.Writer) error
	}{
		{PlanFile, func(w io.Writer) error { return WriteJSON(w, p) }},
		{TextFile, p.Text},
		{ReportFile, p.HTML},
	} {
		if _, err := f.Write(file.name, file.fill); err != nil {
			return err
		}
	}
	return nil
}
