// Package batch is the one report on several inputs that were imposed one after
// the other, each into files of its own.
package batch

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"quoin/impose/say"
	"quoin/impose/summary"
)

// Schema names the form of the report, whose JSON Schema (draft 2020-12) is
// schema/batch.schema.json. Keys may be added, never renamed or given
// another meaning.
const Schema = "quoin/batch/1"

// The states of an input.
const (
	Written = "written"
	Planned = "planned" // nothing was to be written
	Refused = "refused"
)

// Report is what became of all inputs. Totals are those of the inputs that
// weren't refused.
type Report struct {
	Schema   string  `json:"schema"`
	Done     int     `json:"done"`
	Refused  int     `json:"refused"`
	Warnings int     `json:"warnings"`
	Labels   int64   `json:"labels"`
	WebM     float64 `json:"web_gross_m"`
	PressMin float64 `json:"press_min"` // 0, null in JSON: not known of all
	Inputs   []Input `json:"inputs"`    // in the order of the command line
}

// Input is what became of one.
type Input struct {
	Input    string         `json:"input"` // as the command line names it
	State    string         `json:"state"`
	Job      string         `json:"job,omitempty"`
	Error    string         `json:"error,omitempty"` // why it was refused
	Hint     string         `json:"hint,omitempty"`  // the way out
	Exit     int            `json:"exit_code"`       // that it would have alone
	kind     say.Kind       // of the refusal
	Layout   *Layout        `json:"layout,omitempty"`
	Run      *summary.Usage `json:"run,omitempty"`
	Files    []summary.File `json:"files,omitempty"`   // that were read and written
	Records  *Records       `json:"records,omitempty"` // of variable data
	Warnings say.Notes      `json:"warnings,omitempty"`
	Notes    say.Notes      `json:"notes,omitempty"`
}

// Records is a run of variable data in short.
type Records struct {
	InData int64 `json:"in_data"`
	Labels int64 `json:"labels"` // that carry one
	Frames int64 `json:"frames"`
	Parts  int   `json:"parts"`
	Proved bool  `json:"proved"` // against register, ledgers and pages
}

// Layout is the frame in short; the summary beside the file has all of it.
type Layout struct {
	Across   int     `json:"across"`
	Around   int     `json:"around"`
	Labels   int     `json:"labels"`
	RepeatMM float64 `json:"repeat_mm"`
}

// MarshalJSON writes minutes that aren't known as null: none are 0.
func (r *Report) MarshalJSON() ([]byte, error) {
	type plain Report
	known := struct {
		*plain
		PressMin *float64 `json:"press_min"`
	}{plain: (*plain)(r)}
	if r.PressMin > 0 {
		known.PressMin = &r.PressMin
	}
	return json.Marshal(known)
}

// Add adds an input that was imposed, with the files that were read and written.
func (r *Report) Add(input string, s *summary.Summary, files []summary.File) {
	one := Input{Input: input, State: Planned, Job: s.Job, Run: &s.Run, Files: files, Warnings: s.Warnings, Notes: s.Notes,
		Layout: &Layout{s.Layout.Across, s.Layout.Around, s.Layout.Labels, s.Layout.RepeatMM}}
	if s.Written != nil {
		one.State = Written
	}
	first := r.Done == 0
	r.Done++
	r.Warnings += len(s.Warnings)
	r.Labels += s.Run.Labels
	r.WebM += s.Run.WebGrossM
	if s.Run.PressMin > 0 && (first || r.PressMin > 0) {
		r.PressMin += s.Run.PressMin
	} else {
		r.PressMin = 0
	}
	r.Inputs = append(r.Inputs, one)
}

// AddRecords adds an input whose labels all differ; its web is not counted.
func (r *Report) AddRecords(input, job string, of Records, files []summary.File, warnings say.Notes) {
	one := Input{Input: input, State: Planned, Job: job, Files: files, Warnings: warnings, Records: &of}
	if of.Parts > 0 {
		one.State = Written
	}
	r.Done++
	r.Warnings += len(warnings)
	r.Labels += of.Labels
	r.Inputs = append(r.Inputs, one)
}

// Kind returns that of all that was refused, where it would end each input alone with
// one exit code.
func (r *Report) Kind() say.Kind {
	kind, exit := say.Failed, 0
	for _, in := range r.Inputs {
		switch {
		case in.State != Refused:
		case exit == 0:
			kind, exit = in.kind, in.Exit
		case in.Exit != exit:
			return say.Failed
		}
	}
	return kind
}

// Refuse adds an input that came to nothing, with the exit code that it would have
// alone.
func (r *Report) Refuse(input string, err error, exit int) {
	r.Refused++
	r.Inputs = append(r.Inputs, Input{Input: input, State: Refused, Error: err.Error(), Hint: say.Hint(err), Exit: exit, kind: say.KindOf(err)})
}

// Text prints the report for a person: a line for all, then one for each.
func (r *Report) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %d done, %d refused", say.Count(len(r.Inputs), "input"), r.Done, r.Refused)
	if r.Done > 0 {
		fmt.Fprintf(&b, "; %s labels", say.Number(r.Labels))
		if r.WebM > 0 {
			fmt.Fprintf(&b, ", %s m of web", say.Fixed(r.WebM, 1))
		}
		if r.PressMin > 0 {
			fmt.Fprintf(&b, ", %s min", say.Fixed(r.PressMin, 1))
		}
	}
	b.WriteString("\n\n")
	var table say.Table
	for _, in := range r.Inputs {
		table.Add(in.cells()...)
	}
	for _, line := range table.Lines() {
		b.WriteString(line + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (in *Input) cells() []string {
	if in.State == Refused {
		first, _, _ := strings.Cut(in.Error, "\n")
		return []string{in.Input, strings.ToUpper(in.State), first}
	}
	if in.Records != nil {
		return []string{in.Input, in.State, in.recordText()}
	}
	ordered := "nothing ordered"
	if in.Run.Ordered > 0 {
		ordered = say.Number(in.Run.Ordered) + " ordered"
	}
	text := fmt.Sprintf("%s on %s; %s, %s made, %s, %s m of web", summary.Grid(in.Layout.Across, in.Layout.Around, in.Layout.Labels), say.MM(in.Layout.RepeatMM),
		ordered, say.Number(in.Run.Labels), say.Count(in.Run.Frames, "frame"), say.Fixed(in.Run.WebGrossM, 1))
	for _, f := range in.Files {
		if f.Role == "output" {
			text += "; " + f.Path
		}
	}
	if n := len(in.Warnings); n > 0 {
		text += "; " + say.Count(n, "warning")
	}
	return []string{in.Input, in.State, text}
}

// recordText says a run of variable data in a line.
func (in *Input) recordText() string {
	v := in.Records
	text := fmt.Sprintf("%s, %s on %s", say.Count(v.InData, "record"), say.Count(v.Labels, "label"), say.Count(v.Frames, "frame"))
	if in.State == Written {
		text += fmt.Sprintf(" in %s, %s", say.Count(v.Parts, "part"), map[bool]string{true: "proved", false: "not proved now"}[v.Proved])
	}
	for _, f := range in.Files {
		if f.Role == "output" {
			text += "; " + f.Path
		}
	}
	if n := len(in.Warnings); n > 0 {
		text += "; " + say.Count(n, "warning")
	}
	return text
}
