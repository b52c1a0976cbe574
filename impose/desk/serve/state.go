package serve

import (
	"encoding/json"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"quoin/impose/desk/folder"
	"quoin/impose/desk/plan"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// State says how far a job is.
type State struct {
	Word string `json:"state"` // planned, written, old or refused
	// Why says what changed since it was written, or what stands in the way.
	Why   []string `json:"why,omitempty"`
	Files []File   `json:"files,omitempty"` // that were written
}

// File is a file that was written.
type File struct {
	Role string `json:"role"`
	Path string `json:"path"` // seen from the folder
}

// Text says a state to people.
func (s State) Text() string {
	return map[string]string{"planned": "Planned", "written": "Written", "old": "Out of date", "refused": "Refused"}[s.Word]
}

// receipt is the file beside a job's outputs that says what they were made from.
type receipt struct {
	Schema  string            `json:"schema"` // quoin/desk/receipt/1
	Job     string            `json:"job"`
	Version string            `json:"version"` // of the job file
	Command []string          `json:"command"`
	Inputs  map[string]string `json:"inputs"`          // SHA-256 by path seen from the folder
	Press   string            `json:"press,omitempty"` // of what the press file says
	Die     string            `json:"die,omitempty"`
	House   string            `json:"house,omitempty"`
	Outputs []output          `json:"outputs"`
}

type output struct {
	File
	SHA256 string `json:"sha256"`
}

// receipts say what was written from what; they lie beside what was written.
type receipts struct{ folder *folder.Folder }

// outputs returns where a job's files are written, without their endings.
func outputs(path string) string {
	return folder.Outputs + "/" + strings.ReplaceAll(strings.TrimSuffix(strings.TrimSuffix(path, ".yaml"), ".yml"), "/", "-")
}

// describe returns what a job rests on now.
func (k receipts) describe(path string, r *plan.Result) receipt {
	out := receipt{Schema: "quoin/desk/receipt/1", Job: path, Version: r.Version, Inputs: map[string]string{}}
	j := r.Job()
	if j == nil {
		return out
	}
	out.Press, out.Die, out.House = digest(j.Press), digest(j.Tool()), houseDigest(r)
	lists := job.HouseLists(j) // of presses and dies what they say counts, not how
	for _, file := range j.Files()[1:] {
		if !slices.Contains(lists, file) {
			out.Inputs[k.folder.NameOf(file)] = k.folder.Sum(file)
		}
	}
	return out
}

// digest tells one value from another by all that it holds.
func digest(v any) string {
	data, err := json.Marshal(v)
	if err != nil || string(data) == "null" {
		return ""
	}
	return folder.Version(data)
}

// houseDigest tells by all that a job takes from house files, wherever it stands
// in them.
func houseDigest(r *plan.Result) string {
	said := map[string]string{}
	for _, h := range r.Houses {
		for _, t := range h.Took {
			said[t.Key] = t.Value
		}
	}
	if len(said) == 0 {
		return ""
	}
	return digest(said)
}

// state says how far a job is.
func (k receipts) state(path string, r *plan.Result) State {
	if !r.Planned() {
		st := State{Word: "refused"}
		for _, f := range r.Faults {
			st.Why = append(st.Why, f.Text)
		}
		return st
	}
	data, err := k.folder.Read(outputs(path)+".receipt.json", mostJob)
	var was receipt
	if err != nil || json.Unmarshal(data, &was) != nil || was.Job != path {
		return State{Word: "planned"}
	}
	st := State{Word: "written"}
	now := k.describe(path, r)
	if was.Version != now.Version {
		st.Why = append(st.Why, "the job has changed")
	}
	if was.Press != now.Press {
		st.Why = append(st.Why, "the press has changed")
	}
	if was.House != now.House {
		st.Why = append(st.Why, "what the house says has changed")
	}
	if was.Die != now.Die {
		st.Why = append(st.Why, "the die has changed")
	}
	for _, file := range slices.Sorted(maps.Keys(now.Inputs)) {
		if was.Inputs[file] != now.Inputs[file] {
			st.Why = append(st.Why, file+" has changed")
		}
	}
	for _, o := range was.Outputs {
		st.Files = append(st.Files, o.File)
		if k.folder.Sum(filepath.Join(k.folder.Path, filepath.FromSlash(o.Path))) != o.SHA256 {
			st.Why = append(st.Why, o.Path+" is no longer what was written")
		}
	}
	if len(st.Why) > 0 {
		st.Word = "old"
	}
	return st
}

// keep writes the receipt of files that have been written.
func (k receipts) keep(rc receipt) error {
	abs, err := k.folder.Abs(outputs(rc.Job) + ".receipt.json")
	if err != nil {
		return err
	}
	_, err = wholefile.Write(abs, wholefile.Options{}, func(w io.Writer) error { return say.JSON(w, rc) })
	return err
}
