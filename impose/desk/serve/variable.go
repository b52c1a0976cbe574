package serve

import (
	"bytes"
	"image"
	"image/draw"
	"image/png"
	"net/http"
	"path"
	"path/filepath"
	"slices"
	"strconv"

	"quoin/geometry"
	"quoin/impose/desk/folder"
	"quoin/impose/desk/plan"
	"quoin/impose/desk/worker"
	"quoin/impose/say"
)

// recordRoom shows the records of a job's variable data, each on its label.
type recordRoom struct{ *desk }

// recordsView is a job with its variable data.
type recordsView struct {
	*jobView
	Records *plan.Records `json:"records,omitempty"`
	Fault   string        `json:"fault,omitempty"`
	Hint    string        `json:"hint,omitempty"`
	Tables  []string      `json:"tables"` // files of records in the folder, as the job would name them
	Chosen  string        `json:"chosen,omitempty"`
}

// Tab names the view of the job that is open.
func (v *recordsView) Tab() string { return "records" }

// record reads which record is asked for.
func record(r *http.Request) (int64, error) {
	text := r.URL.Query().Get("record")
	if text == "" {
		return 1, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 1 {
		return 0, bad("record is a number from 1 on")
	}
	return n, nil
}

func (s *recordRoom) get(_ http.ResponseWriter, r *http.Request, now planned) (*page, error) {
	n, err := record(r)
	if err != nil {
		return nil, err
	}
	v := &recordsView{jobView: s.view(now, nil), Tables: s.tables(now.path)}
	if j := now.result.Job(); j != nil && j.Data != nil {
		v.Chosen = j.Data.File
	}
	b, done := s.benches.open(now.path)
	defer done()
	if v.Records, err = b.Records(r.Context(), now.text, n); err != nil {
		v.Fault, v.Hint = s.Folder.Short(err.Error()), say.Hint(err)
	}
	v.Schema = "quoin/desk/records/1"
	return shown("records.html", v)
}

// tables returns the folder's CSV files, as a job names them.
func (s *recordRoom) tables(at string) (list []string) {
	for _, kind := range []folder.Kind{folder.Table, folder.Orders} {
		for _, p := range s.named(kind) {
			if name, err := filepath.Rel(path.Dir(at), p); err == nil && path.Ext(p) == ".csv" {
				list = append(list, filepath.ToSlash(name))
			}
		}
	}
	slices.Sort(list)
	return list
}

// recordDPI is the resolution of a record's picture: small print can be read.
const recordDPI = 240

// getPicture draws the label with one record on it.
func (s *recordRoom) getPicture(w http.ResponseWriter, r *http.Request) (*page, error) {
	at := r.PathValue("path")
	n, err := record(r)
	if err != nil {
		return nil, err
	}
	text, err := s.text(at)
	if err != nil {
		return nil, err
	}
	b, done := s.benches.open(at)
	records, err := b.Records(r.Context(), text, n)
	done()
	if err == nil && records.PDF == nil {
		err = refuse(http.StatusUnprocessableEntity, refused, "%s", records.Fault.Text)
	}
	if err != nil {
		return nil, err
	}
	drawn, err := s.pool.Draw(r.Context(), worker.Ask{Do: "page", DPI: recordDPI}, records.PDF)
	if err != nil {
		return nil, err
	}
	cut, err := cutOut(drawn, records.Label)
	if err != nil {
		return nil, err
	}
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("Cache-Control", "no-store")
	w.Write(cut)
	return nil, nil
}

// cutOut returns the part of a frame's picture where a label is.
func cutOut(picture []byte, label geometry.Box) ([]byte, error) {
	img, err := png.Decode(bytes.NewReader(picture))
	if err != nil {
		return nil, err
	}
	px := func(l geometry.Length) int { return int(l.Points()*recordDPI/72 + .5) }
	box := image.Rect(px(label.Min.Across), px(label.Min.Around), px(label.Max.Across), px(label.Max.Around)).Intersect(img.Bounds())
	out := image.NewNRGBA(image.Rect(0, 0, box.Dx(), box.Dy()))
	draw.Draw(out, out.Bounds(), img, box.Min, draw.Src)
	var b bytes.Buffer
	err = png.Encode(&b, out)
	return b.Bytes(), err
}
