package serve

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"quoin/impose/desk/edit"
	"quoin/impose/desk/folder"
	"quoin/impose/desk/plan"
	"quoin/impose/say"
)

// jobRoom shows one job, and changes it.
type jobRoom struct {
	*desk
	edits *edits
}

// jobView is one job.
type jobView struct {
	Schema string `json:"schema"` // quoin/desk/job/1
	Name   string `json:"name"`
	State  State  `json:"state"`
	Undo   string `json:"undo,omitempty"` // what would be undone
	Redo   string `json:"redo,omitempty"`
	// Changes are the numbers that the last change made others of.
	Changes []plan.Change `json:"changes"`
	*plan.Result
}

// Tab names the view of the job that is open.
func (v *jobView) Tab() string { return "job" }

func (s *jobRoom) get(_ http.ResponseWriter, r *http.Request, now planned) (*page, error) {
	return shown("job.html", s.view(now, s.earlier(r, now.path)))
}

// earlier returns the plan of the version that a request compares with; nil for
// none.
func (s *jobRoom) earlier(r *http.Request, path string) *plan.Result {
	text, ok := s.history.text(path, r.URL.Query().Get("from"))
	if !ok {
		return nil
	}
	b := plan.NewBench(s.Folder, path, s.alike)
	defer b.Close()
	result, err := b.Plan(r.Context(), text)
	if err != nil {
		return nil
	}
	return result
}

// view puts together what a page shows of a job; before is the result that it
// is compared with.
func (d *desk) view(now planned, before *plan.Result) *jobView {
	v := &jobView{Schema: "quoin/desk/job/1", Result: now.result, State: d.receipts.state(now.path, now.result), Name: nameOf(now.path, now.result), Changes: plan.Changes(before, now.result)}
	v.Undo, v.Redo = d.history.look(now.path, now.text)
	d.wantPictures(now.path, now.result.Frame)
	return v
}

// nameOf returns a job's name, or else that of its file.
func nameOf(path string, r *plan.Result) string {
	if j := r.Job(); j != nil && j.Name != "" {
		return j.Name
	}
	return bare(path)
}

func bare(path string) string {
	base := path[strings.LastIndexByte(path, '/')+1:]
	return strings.TrimSuffix(strings.TrimSuffix(base, ".yaml"), ".yml")
}

// change is what a request changes.
type change struct {
	Base string      `json:"base"` // version of the text that the change is made on
	Set  []edit.Edit `json:"set"`  // as typed
	// Exact says that the values are as the file would say them, as those of a way
	// or of a die are.
	Exact bool   `json:"exact,omitempty"`
	Label string `json:"label,omitempty"` // for undoing
	// Joined says that it goes on from the change before, as one turn of a wheel
	// does: both are undone together.
	Joined bool `json:"joined,omitempty"`
}

func (s *jobRoom) postChange(r *http.Request, c change) (*page, error) {
	if len(c.Set) == 0 || len(c.Set) > 50 {
		return nil, bad("say what to change, in 1 to 50 values")
	}
	now, err := s.planned(r)
	if err != nil {
		return nil, err
	}
	if c.Base != now.result.Version {
		return s.edits.conflict(now.path, c, now.text)
	}
	next, label, err := edited(now.text, now.result, c)
	if err != nil {
		return nil, err
	}
	return s.edits.replace(r, now, c, next, label)
}

// edited carries out a change on a text.
func edited(text []byte, before *plan.Result, c change) (next []byte, label string, err error) {
	next = text
	for _, e := range c.Set {
		v, known := before.Find(e.Key)
		if !c.Exact {
			if !known {
				return nil, "", bad("the desk knows no value %q", say.Clip(e.Key, 80))
			}
			if e.Value, err = plan.Check(v, e.Value); err != nil {
				return nil, "", err
			}
		} else if !plan.Allowed(e.Key) {
			return nil, "", bad("the desk knows no value %q", say.Clip(e.Key, 80))
		}
		edits := []edit.Edit{e}
		if !c.Exact {
			edits = plan.Expand(next, before.Job(), e)
		}
		if next, err = edit.Apply(next, plan.Order, edits...); err != nil {
			return nil, "", err
		}
		if label == "" {
			if label = v.Label; label == "" {
				label = e.Key
			}
			if e.Value != "" {
				label += " " + e.Value
			} else {
				label += " left open"
			}
		}
	}
	if c.Label != "" {
		label = say.Clip(c.Label, 120)
	}
	return next, label, nil
}

// edits writes jobs, and answers with what becomes of them or what stands in the
// way.
type edits struct{ *desk }

// replace writes a changed job and answers with its plan.
func (e *edits) replace(r *http.Request, now planned, c change, next []byte, label string) (*page, error) {
	if err := e.Folder.Replace(now.path, folder.Version(now.text), next); err != nil {
		if conflict, ok := errors.AsType[*folder.ConflictError](err); ok {
			return e.conflict(now.path, c, conflict.Now)
		}
		return nil, err
	}
	e.history.did(now.path, now.text, next, label, c.Set[0].Key, c.Joined)
	return e.answer(r, now, next)
}

// answer plans a text that has just been written, tells other pages and answers.
func (e *edits) answer(r *http.Request, was planned, text []byte) (*page, error) {
	b, done := e.benches.open(was.path)
	defer done()
	// The text is written: whoever asked may be gone, others want the plan.
	result, err := b.Plan(context.WithoutCancel(r.Context()), text)
	if err != nil {
		return nil, err
	}
	e.hub.tell(event{Kind: "job", Job: was.path, Version: result.Version, By: r.Header.Get("X-Desk-Tab")})
	return shown("parts.html", e.view(planned{was.path, text, result}, was.result))
}

// conflictView says that a job is not what a change was made on.
type conflictView struct {
	Schema  string      `json:"schema"` // quoin/desk/conflict/1
	Job     string      `json:"job"`
	Version string      `json:"version"` // that the job has now
	Theirs  []Differ    `json:"theirs"`  // what was changed meanwhile
	Mine    []edit.Edit `json:"mine"`    // what was to be changed
	// Same tells whether both change the same value.
	Same bool `json:"same"`
}

// Differ is a value that two texts say differently.
type Differ struct {
	Key  string `json:"key"`
	From string `json:"from"`
	To   string `json:"to"`
}

// conflict asks which change is to stay.
func (e *edits) conflict(path string, c change, now []byte) (*page, error) {
	v := conflictView{Schema: "quoin/desk/conflict/1", Job: path, Version: folder.Version(now), Theirs: []Differ{}, Mine: c.Set}
	if base, ok := e.history.text(path, c.Base); ok {
		v.Theirs = differ(base, now)
	}
	for _, d := range v.Theirs {
		for _, m := range c.Set {
			v.Same = v.Same || d.Key == m.Key
		}
	}
	return &page{http.StatusConflict, "conflict.html", v}, nil
}

// differ lists the values that two texts say differently.
func differ(from, to []byte) []Differ {
	a, b := edit.Values(from), edit.Values(to)
	list := []Differ{}
	for _, k := range sorted(a, b) {
		if a[k] != b[k] {
			list = append(list, Differ{k, a[k], b[k]})
		}
	}
	return list
}

// undoing asks to undo the last change, or to do it again.
type undoing struct {
	Base string `json:"base"`
}

func (s *jobRoom) postUndo(forward bool) handler {
	return posted(mostRequest, func(r *http.Request, c undoing) (*page, error) {
		now, err := s.planned(r)
		if err != nil {
			return nil, err
		}
		to, ok := s.history.back(now.path, now.text, forward)
		if !ok {
			return nil, refuse(http.StatusConflict, nothing, "there is nothing to undo")
		}
		if c.Base != now.result.Version {
			return s.edits.conflict(now.path, change{Base: c.Base, Set: []edit.Edit{}}, now.text)
		}
		if err := s.Folder.Replace(now.path, folder.Version(now.text), to.text); err != nil {
			return nil, err
		}
		s.history.went(now.path, now.text, to, forward)
		return s.edits.answer(r, now, to.text)
	})
}
