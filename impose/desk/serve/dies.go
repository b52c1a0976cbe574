package serve

import (
	"net/http"
	"path"
	"path/filepath"

	"quoin/impose/desk/folder"
	"quoin/impose/desk/plan"
)

// diesRoom answers which dies, webs and turns a job can run on.
type diesRoom struct{ *desk }

func (s *diesRoom) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /dies/{path...}", s.get)
}

// diesView is a job with the ways to run it.
type diesView struct {
	*jobView
	Tools *plan.Tools `json:"tools"`
	Rooms []string    `json:"rooms,omitempty"` // die rooms of the folder, where the job names none
}

// Tab names the view of the job that is open.
func (v *diesView) Tab() string { return "dies" }

func (s *diesRoom) get(w http.ResponseWriter, r *http.Request) {
	at := r.PathValue("path")
	text, result, err := s.planned(r.Context(), at)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	b, done := s.benches.open(at)
	tools, err := b.Tools(r.Context(), text)
	done()
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if wantsJSON(r) {
		s.show(w, r, http.StatusOK, "", tools)
		return
	}
	v := &diesView{jobView: s.view(at, text, result, nil), Tools: tools}
	if j := result.Job(); j != nil && j.Dies == nil {
		v.Rooms = s.rooms(at)
	}
	s.show(w, r, http.StatusOK, "dies.html", v)
}

// mostRooms is how many die rooms are offered.
const mostRooms = 5

// rooms gives the folder's die rooms, as a job names them.
func (s *diesRoom) rooms(job string) (list []string) {
	found, err := s.Folder.Of(folder.Dies)
	if err != nil {
		return nil
	}
	for _, e := range found[:min(len(found), mostRooms)] {
		if name, err := filepath.Rel(path.Dir(job), e.Path); err == nil {
			list = append(list, filepath.ToSlash(name))
		}
	}
	return list
}
