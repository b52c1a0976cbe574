package serve

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"html/template"
	"io"
	"io/fs"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"quoin/impose/desk/plan"
	"quoin/impose/say"
)

// asJSON marks a request that wants JSON.
type asJSON struct{}

// asked notes what form of answer a request wants: JSON where it says so or its
// path ends in .json.
func asked(r *http.Request) *http.Request {
	path, suffix := strings.CutSuffix(r.URL.Path, ".json")
	if suffix && !strings.HasPrefix(path, "/files/") {
		r = r.Clone(context.WithValue(r.Context(), asJSON{}, true))
		r.URL.Path, r.URL.RawPath = path, ""
		return r
	}
	accept := r.Header.Get("Accept")
	if strings.Contains(accept, "application/json") && !strings.Contains(accept, "text/html") {
		return r.WithContext(context.WithValue(r.Context(), asJSON{}, true))
	}
	return r
}

func wantsJSON(r *http.Request) bool { return r.Context().Value(asJSON{}) != nil }

var templates = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("").Funcs(template.FuncMap{
		"link": link, "counted": say.Count[int64], "count": say.Count[int], "number": say.Number[int64], "digits": say.Digits,
		"svg": func(s string) template.HTML { return template.HTML(s) },
		"add": func(a, b int) int { return a + b }, "fixed": say.Fixed, "money": money, "list": say.List, "amount": say.Amount,
		"part": part, "slug": slug, "base": filepath.Base, "has": slices.Contains[[]string],
		"unitless": unitless, "views": func() []view { return views }, "words": func(list ...string) []string { return list },
		"lower": func(v *float64) string { return map[bool]string{true: "less", false: "more"}[*v <= 0] },
		"signed": func(v *float64, decimals int) string {
			text := say.Fixed(*v, decimals)
			if *v > 0 {
				text = "+" + text
			}
			return text
		},
		"png": func(b []byte) template.URL {
			return template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(b))
		},
		"json": func(v any) (string, error) { b, err := json.Marshal(v); return string(b), err },
	}).ParseFS(pages, "pages/*.html"))
})

// link writes the path of a job or file behind a route, with each part escaped.
func link(route, path string) string {
	parts := strings.Split(path, "/")
	for i, p := range parts {
		parts[i] = url.PathEscape(p)
	}
	return "/" + route + "/" + strings.Join(parts, "/")
}

// part returns one side of a size: 0 across, 1 around.
func part(n int, size string) string {
	a, b, ok := strings.Cut(strings.TrimSuffix(size, "mm"), "x")
	if !ok {
		return ""
	}
	return []string{a, b}[n]
}

// view is a view of one job: its route and what people call it.
type view struct{ Route, Title string }

// views are the tabs of a job, in their order.
var views = []view{{"job", "Frame"}, {"dies", "Tools"}, {"look", "Plates"}, {"records", "Records"}, {"write", "Write"}}

// unitless writes a value without the unit that stands beside it.
func unitless(v plan.Value) string {
	if v.Unit == "" {
		return v.Said
	}
	return strings.TrimSpace(strings.TrimSuffix(v.Said, v.Unit))
}

// slug makes an id of a key.
func slug(key string) string {
	return strings.NewReplacer(".", "-", "[", "-", "]", "").Replace(key)
}

// page is an answer: what the page of a name shows, or the same as JSON.
type page struct {
	status int
	name   string
	data   any
}

func shown(name string, data any) (*page, error) { return &page{http.StatusOK, name, data}, nil }

// handler answers a request with a page, or by itself where it gives none.
type handler func(w http.ResponseWriter, r *http.Request) (*page, error)

// handle has requests of a route answered.
func (d *desk) handle(mux *http.ServeMux, route string, do handler) {
	mux.HandleFunc(route, func(w http.ResponseWriter, r *http.Request) {
		p, err := do(w, r)
		if err != nil {
			p = d.failed(err)
		}
		if p != nil {
			d.show(w, r, p)
		}
	})
}

// posted answers requests that say something in JSON of at most so many bytes.
func posted[T any](most int64, do func(*http.Request, T) (*page, error)) handler {
	return func(w http.ResponseWriter, r *http.Request) (*page, error) {
		var said T
		if err := decode(w, r, &said, most); err != nil {
			return nil, err
		}
		return do(r, said)
	}
}

// show answers with a page or with the same as JSON.
func (d *desk) show(w http.ResponseWriter, r *http.Request, p *page) {
	var b bytes.Buffer
	var err error
	if wantsJSON(r) {
		w.Header().Set("Content-Type", "application/json")
		err = say.JSON(&b, p.data)
	} else {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		err = templates().ExecuteTemplate(&b, p.name, map[string]any{"D": p.data, "Folder": d.Folder.Path, "Page": p.name, "InPlace": p.name != "write.html"})
	}
	if err != nil {
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		http.Error(w, "the page could not be made: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Add("Vary", "Accept")
	w.WriteHeader(p.status)
	w.Write(b.Bytes())
}

// failure is what a request that is not done answers.
type failure struct {
	Schema string `json:"schema"` // quoin/desk/error/1
	Code   string `json:"code"`
	Error  string `json:"error"`
	Hint   string `json:"hint,omitempty"`
}

// failed returns the page of an error, in the words of the library.
func (d *desk) failed(err error) *page {
	r := refusalOf(err)
	return &page{r.status, "error.html", failure{"quoin/desk/error/1", string(r.Kind), d.Folder.Short(r.Error()), d.Folder.Short(r.Hint())}}
}

// mostRequest bounds what a request says, files aside.
const mostRequest = 1 << 20

// decode reads a request's JSON, of at most so many bytes.
func decode(w http.ResponseWriter, r *http.Request, into any, most int64) error {
	if t := r.Header.Get("Content-Type"); !strings.HasPrefix(t, "application/json") {
		return refuse(http.StatusUnsupportedMediaType, badRequest, "send JSON, with Content-Type: application/json")
	}
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, most))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		var tooLarge *http.MaxBytesError
		if errors.As(err, &tooLarge) {
			return err
		}
		return bad("the request is no JSON that the desk knows: %v", err)
	}
	if _, err := d.Token(); err != io.EOF {
		return bad("the request holds more than one JSON value")
	}
	return nil
}

// text reads a job file.
func (d *desk) text(path string) ([]byte, error) {
	if !isJob(path) {
		return nil, fs.ErrNotExist
	}
	return d.Folder.Read(path, mostJob)
}

const mostJob = 4 << 20

func isJob(path string) bool {
	return strings.HasSuffix(path, ".yaml") || strings.HasSuffix(path, ".yml")
}

// planned is a job, planned as its file stands.
type planned struct {
	path   string
	text   []byte
	result *plan.Result
}

// planned plans the job that a request names.
func (d *desk) planned(r *http.Request) (now planned, err error) {
	now.path = r.PathValue("path")
	if now.text, err = d.text(now.path); err != nil {
		return now, err
	}
	b, done := d.benches.open(now.path)
	defer done()
	now.result, err = b.Plan(r.Context(), now.text)
	return now, err
}

// ofJob answers requests that are about a job as it stands.
func (d *desk) ofJob(do func(http.ResponseWriter, *http.Request, planned) (*page, error)) handler {
	return func(w http.ResponseWriter, r *http.Request) (*page, error) {
		now, err := d.planned(r)
		if err != nil {
			return nil, err
		}
		return do(w, r, now)
	}
}
