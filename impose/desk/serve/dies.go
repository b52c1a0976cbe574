package serve

import (
	"net/http"

	"quoin/impose/desk/plan"
)

func (s *Server) diesRoutes() {
	s.mux.HandleFunc("GET /dies/{path...}", s.getDies)
}

// diesView is a job with the ways to run it.
type diesView struct {
	*jobView
	Tools *plan.Tools `json:"tools"`
}

// Tab names the view of the job that is open.
func (v *diesView) Tab() string { return "dies" }

func (s *Server) getDies(w http.ResponseWriter, r *http.Request) {
	at := r.PathValue("path")
	text, result, err := s.planned(r.Context(), at)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	b, done := s.bench(at)
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
	s.show(w, r, http.StatusOK, "dies.html", &diesView{s.view(at, text, result, nil), tools})
}
