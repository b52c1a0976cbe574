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

// diesView is a job with the ways to run it.
type diesView struct {
	*jobView
	Tools *plan.Tools `json:"tools"`
	Rooms []string    `json:"rooms,omitempty"` // die rooms of the folder, where the job names none
}

// Tab names the view of the job that is open.
func (v *diesView) Tab() string { return "dies" }

func (s *diesRoom) get(_ http.ResponseWriter, r *http.Request, now planned) (*page, error) {
	b, done := s.benches.open(now.path)
	tools, err := b.Tools(r.Context(), now.text)
	done()
	if err != nil {
		return nil, err
	}
	if wantsJSON(r) {
		return shown("", tools)
	}
	v := &diesView{jobView: s.view(now, nil), Tools: tools}
	if j := now.result.Job(); j != nil && j.Dies == nil {
		v.Rooms = s.rooms(now.path)
	}
	return shown("dies.html", v)
}

// mostRooms is how many die rooms are offered.
const mostRooms = 5

// rooms returns the folder's die rooms, as a job names them.
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
