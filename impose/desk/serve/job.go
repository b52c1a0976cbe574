package serve

import (
	"context"
	"errors"
	"fmt"
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

func (s *jobRoom) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /job/{path...}", s.get)
	mux.HandleFunc("POST /change/{path...}", s.postChange)
	mux.HandleFunc("POST /undo/{path...}", func(w http.ResponseWriter, r *http.Request) { s.postUndo(w, r, false) })
	mux.HandleFunc("POST /redo/{path...}", func(w http.ResponseWriter, r *http.Request) { s.postUndo(w, r, true) })
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

func (s *jobRoom) get(w http.ResponseWriter, r *http.Request) {
	path := r.PathValue("path")
	text, result, err := s.planned(r.Context(), path)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.show(w, r, http.StatusOK, "job.html", s.view(path, text, result, s.earlier(r, path)))
}

// earlier gives the plan of the version that a request compares with; nil for
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
func (d *desk) view(path string, text []byte, result, before *plan.Result) *jobView {
	v := &jobView{Schema: "quoin/desk/job/1", Result: result, State: d.receipts.state(path, result), Name: nameOf(path, result), Changes: plan.Changes(before, result)}
	v.Undo, v.Redo = d.history.look(path, text)
	d.wantPictures(path, result.Frame)
	return v
}

// nameOf gives a job's name, or else that of its file.
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

func (s *jobRoom) postChange(w http.ResponseWriter, r *http.Request) {
	var c change
	if err := decode(w, r, &c); err != nil {
		s.fail(w, r, err)
		return
	}
	path := r.PathValue("path")
	if len(c.Set) == 0 || len(c.Set) > 50 {
		s.fail(w, r, bad("say what to change, in 1 to 50 values"))
		return
	}
	text, before, err := s.planned(r.Context(), path)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if c.Base != before.Version {
		s.edits.conflict(w, r, path, c, text)
		return
	}
	next, label, err := edited(text, before, c)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.edits.replace(w, r, path, c, text, next, label, before)
}

// edited carries out a change on a text.
func edited(text []byte, before *plan.Result, c change) (next []byte, label string, err error) {
	next = text
	for _, e := range c.Set {
		v, known := before.Find(e.Key)
		if !c.Exact {
			if !known {
				return nil, "", bad(fmt.Sprintf("the desk knows no value %q", say.Clip(e.Key, 80)))
			}
			if e.Value, err = plan.Check(v, e.Value); err != nil {
				return nil, "", err
			}
		} else if !plan.Allowed(e.Key) {
			return nil, "", bad(fmt.Sprintf("the desk knows no value %q", say.Clip(e.Key, 80)))
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
func (e *edits) replace(w http.ResponseWriter, r *http.Request, path string, c change, text, next []byte, label string, before *plan.Result) {
	if err := e.Folder.Replace(path, folder.Version(text), next); err != nil {
		var conflict *folder.ConflictError
		if errors.As(err, &conflict) {
			e.conflict(w, r, path, c, conflict.Now)
			return
		}
		e.fail(w, r, err)
		return
	}
	e.history.did(path, text, next, label, c.Set[0].Key, c.Joined)
	e.answer(w, r, path, next, before)
}

// answer plans a text that has just been written, tells other pages and answers.
func (e *edits) answer(w http.ResponseWriter, r *http.Request, path string, text []byte, before *plan.Result) {
	b, done := e.benches.open(path)
	defer done()
	// The text is written: whoever asked may be gone, others want the plan.
	result, err := b.Plan(context.WithoutCancel(r.Context()), text)
	if err != nil {
		e.fail(w, r, err)
		return
	}
	e.hub.tell(event{Kind: "job", Job: path, Version: result.Version, By: r.Header.Get("X-Desk-Tab")})
	e.show(w, r, http.StatusOK, "parts.html", e.view(path, text, result, before))
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
func (e *edits) conflict(w http.ResponseWriter, r *http.Request, path string, c change, now []byte) {
	v := conflictView{Schema: "quoin/desk/conflict/1", Job: path, Version: folder.Version(now), Theirs: []Differ{}, Mine: c.Set}
	if base, ok := e.history.text(path, c.Base); ok {
		v.Theirs = differ(base, now)
	}
	for _, d := range v.Theirs {
		for _, m := range c.Set {
			v.Same = v.Same || d.Key == m.Key
		}
	}
	e.show(w, r, http.StatusConflict, "conflict.html", v)
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

func (s *jobRoom) postUndo(w http.ResponseWriter, r *http.Request, forward bool) {
	var c struct {
		Base string `json:"base"`
	}
	if err := decode(w, r, &c); err != nil {
		s.fail(w, r, err)
		return
	}
	path := r.PathValue("path")
	text, before, err := s.planned(r.Context(), path)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	to, ok := s.history.back(path, text, forward)
	if !ok {
		s.fail(w, r, &statusError{http.StatusConflict, "nothing", "there is nothing to undo"})
		return
	}
	if c.Base != before.Version {
		s.edits.conflict(w, r, path, change{Base: c.Base, Set: []edit.Edit{}}, text)
		return
	}
	if err := s.Folder.Replace(path, folder.Version(text), to.text); err != nil {
		s.fail(w, r, err)
		return
	}
	s.history.went(path, text, to, forward)
	s.edits.answer(w, r, path, to.text, before)
}
