package serve

import (
	"cmp"
	"context"
	"encoding/json"
	"io/fs"
	"net/http"
	"path/filepath"
	"strconv"
	"strings"

	"quoin/impose/desk/plan"
	"quoin/impose/desk/worker"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// lookRoom shows an artwork plate by plate, and beside the one it takes the place of.
type lookRoom struct {
	*desk
	edits *edits
}

// lookView is an artwork of a job, plate by plate.
type lookView struct {
	*jobView
	Artwork int           `json:"artwork"` // first is 1
	Plates  worker.Plates `json:"plates"`
	LimitPC float64       `json:"total_limit_percent"` // above which inks in all are marked
	Fault   string        `json:"fault,omitempty"`
}

// Tab names the view of the job that is open.
func (v *lookView) Tab() string { return "look" }

// totalLimit is what presses of this kind are commonly kept below; common
// practice, no source.
const totalLimit = 300

// plateDPI is the resolution of plates: a tenth of a millimetre shows.
const plateDPI = 254

// art finds the artwork that a request is about.
func (s *lookRoom) art(r *http.Request, result *plan.Result) (worker.Ask, int, error) {
	j := result.Job()
	n := 1
	if text := r.URL.Query().Get("artwork"); text != "" {
		var err error
		if n, err = strconv.Atoi(text); err != nil {
			return worker.Ask{}, 0, bad("artwork is a number")
		}
	}
	if j == nil || n < 1 || n > len(j.Artworks) {
		return worker.Ask{}, 0, refuse(http.StatusNotFound, notFound, "the job has no such artwork")
	}
	a := j.Artworks[n-1]
	file := j.Path(a.File)
	if err := s.Folder.Holds(file); err != nil {
		return worker.Ask{}, 0, err
	}
	return worker.Ask{DPI: plateDPI, File: file, Page: max(a.Page, 1), Password: j.PasswordOf(a.File)}, n, nil
}

func (s *lookRoom) get(_ http.ResponseWriter, r *http.Request, now planned) (*page, error) {
	v := &lookView{jobView: s.view(now, nil), LimitPC: totalLimit}
	v.Schema = "quoin/desk/plates/1"
	ask, n, err := s.art(r, now.result)
	if err != nil {
		return nil, err
	}
	v.Artwork, ask.Do, ask.InkLimit, ask.FromCut = n, "plates", now.result.Job().InkLimit(), int64(now.result.Job().LeastFromCut())
	data, err := s.pool.Draw(r.Context(), ask, nil)
	if err == nil {
		err = json.Unmarshal(data, &v.Plates)
	}
	if err != nil {
		v.Fault = s.Folder.Short(err.Error())
	}
	return shown("look.html", v)
}

// getPlate returns one plate as a grey picture: black is no ink, white is solid.
func (s *lookRoom) getPlate(w http.ResponseWriter, r *http.Request, now planned) (*page, error) {
	ask, _, err := s.art(r, now.result)
	if err != nil {
		return nil, err
	}
	ask.Do = "plate"
	if ask.Ink, err = strconv.Atoi(r.URL.Query().Get("ink")); err != nil {
		return nil, bad("ink is a number, the first is 0")
	}
	return nil, s.drawn(w, r, "plate "+s.Folder.Sum(ask.File)+" "+strconv.Itoa(ask.Page)+" "+strconv.Itoa(ask.Ink), ask)
}

// drawn answers with a picture, which is drawn when it is asked for first.
func (s *lookRoom) drawn(w http.ResponseWriter, r *http.Request, name string, ask worker.Ask) (err error) {
	data, ok := s.pictures.get(name)
	if !ok {
		if data, err = s.pool.Draw(r.Context(), ask, nil); err != nil {
			return err
		}
		s.pictures.put(name, data)
	}
	w.Header().Set("Content-Type", "image/png")
	w.Write(data)
	return nil
}

// artworkSide is how many pixels a whole artwork has along its longer side.
const artworkSide = 700

// getArtwork draws the first page of an artwork of the folder as it is.
func (s *lookRoom) getArtwork(w http.ResponseWriter, r *http.Request) (*page, error) {
	abs, err := s.Folder.Abs(r.PathValue("path"))
	if err != nil {
		return nil, err
	}
	page, err := strconv.Atoi(cmp.Or(r.URL.Query().Get("page"), "1"))
	if err != nil || page < 1 {
		return nil, bad("page is a number, the first is 1")
	}
	if s.Folder.Sum(abs) == "" || !strings.EqualFold(filepath.Ext(abs), ".pdf") {
		return nil, fs.ErrNotExist
	}
	return nil, s.drawn(w, r, "file "+s.Folder.Sum(abs)+" "+strconv.Itoa(page), worker.Ask{Do: "file", File: abs, Page: page, DPI: artworkSide})
}

// againView is a job that is to be printed again with another artwork.
type againView struct {
	*jobView
	Old     string      `json:"old"`      // file of the job's artwork
	OldPath string      `json:"old_path"` // seen from the folder
	OldPage int         `json:"old_page"`
	Artwork int         `json:"artwork"` // that is replaced; first is 1
	New     string      `json:"new"`     // file seen from the folder
	Differs *difference `json:"differs,omitempty"`
	Fault   string      `json:"fault,omitempty"`
	// Changes are what the new artwork says of itself otherwise, Obstacles why the
	// job has no frame with it, and NewRemarks what is remarked of that frame only.
	Changes    []summary.Change `json:"artwork_changes"`
	Obstacles  []plan.Fault     `json:"obstacles"`
	NewRemarks []plan.Remark    `json:"new_remarks"`
	Size       [2][2]float64    `json:"size_mm"`
}

// difference says how two artworks differ; its picture shows the place on the
// old one and, right of it, on the new.
type difference struct {
	Percent float64 `json:"percent"`
	PNG     []byte  `json:"png,omitempty"`
}

// Tab names no view: it stands beside them.
func (v *againView) Tab() string { return "" }

func (s *lookRoom) getAgain(_ http.ResponseWriter, r *http.Request, now planned) (*page, error) {
	ask, n, err := s.art(r, now.result)
	if err != nil {
		return nil, err
	}
	fresh := r.URL.Query().Get("with")
	abs, err := s.Folder.Abs(fresh)
	if err == nil && s.Folder.Sum(abs) == "" {
		err = fs.ErrNotExist
	}
	if err != nil {
		return nil, err
	}
	v := &againView{jobView: s.view(now, nil), Old: now.result.Job().Artworks[n-1].File, OldPath: s.Folder.Rel(ask.File), OldPage: ask.Page, Artwork: n, New: fresh}
	v.Schema = "quoin/desk/again/1"
	ask.Do, ask.OtherFile, ask.OtherPage = "compare", abs, 1
	var d worker.Difference
	data, err := s.pool.Draw(r.Context(), ask, nil)
	if err == nil {
		err = json.Unmarshal(data, &d)
	}
	if err != nil {
		v.Fault = s.Folder.Short(say.WithHint(err))
	} else {
		v.Differs, v.Size = &difference{d.Percent, d.PNG}, d.SizeMM
	}
	v.Changes = d.Changes
	if v.Changes == nil {
		v.Changes = []summary.Change{}
	}
	if err := s.fits(r.Context(), v, now); err != nil {
		return nil, err
	}
	return shown("again.html", v)
}

// fits says how a job stands with its new artwork.
func (s *lookRoom) fits(ctx context.Context, v *againView, now planned) error {
	next, err := now.result.Again(now.text, v.Artwork, v.New)
	if err != nil {
		return err
	}
	b := plan.NewBench(s.Folder, v.Path, s.alike)
	defer b.Close()
	then, obstacles, err := b.Obstacles(ctx, next, v.New)
	if err != nil {
		return err
	}
	v.Obstacles, v.NewRemarks = obstacles, plan.NewRemarks(now.result, then)
	return nil
}

// replacing asks for a job with a new artwork in one's place.
type replacing struct {
	Artwork int    `json:"artwork"` // first is 1
	With    string `json:"with"`
}

// postAgain begins a job that is another with a new artwork in one's place.
func (s *lookRoom) postAgain(r *http.Request, c replacing) (*page, error) {
	now, err := s.planned(r)
	if err != nil {
		return nil, err
	}
	if _, err := s.Folder.Abs(c.With); err != nil {
		return nil, err
	}
	next, err := now.result.Again(now.text, c.Artwork, filepath.ToSlash(c.With))
	if err != nil {
		return nil, err
	}
	return s.edits.begin(bare(now.path), next)
}
