package serve

import (
	"cmp"
	"encoding/base64"
	"fmt"
	"io"
	"maps"
	"net/http"
	"path"
	"slices"
	"strings"
	"sync"

	"quoin/impose/desk/folder"
	"quoin/impose/desk/plan"
	"quoin/impose/say"
)

// jobsRoom lists the folder's jobs, and begins new ones.
type jobsRoom struct {
	*desk
	edits *edits
}

// jobsView is the folder's jobs.
type jobsView struct {
	Schema string    `json:"schema"` // quoin/desk/jobs/1
	Find   string    `json:"find,omitempty"`
	Total  int       `json:"total"` // of those that are found
	From   int       `json:"from"`  // the first of the list, from 0
	Jobs   []jobLine `json:"jobs"`
	Next   int       `json:"next,omitempty"` // where the list goes on; 0: nowhere
}

// Total64 is for the page.
func (v *jobsView) Total64() int64 { return int64(v.Total) }

// jobLine is a job before anybody has looked into it.
type jobLine struct {
	Path string `json:"path"`
	Name string `json:"name"`
}

// jobsShown is how many jobs one page of the list has.
const jobsShown = 60

func (s *jobsRoom) get(_ http.ResponseWriter, r *http.Request) (*page, error) {
	all, err := s.Folder.Of(folder.Job)
	if err != nil {
		return nil, err
	}
	v := jobsView{Schema: "quoin/desk/jobs/1", Find: r.URL.Query().Get("find"), Jobs: []jobLine{}}
	words := strings.Fields(strings.ToLower(v.Find))
	all = slices.DeleteFunc(all, func(e folder.Entry) bool {
		text := strings.ToLower(e.Path + " " + e.Name)
		return slices.ContainsFunc(words, func(word string) bool { return !strings.Contains(text, word) })
	})
	fmt.Sscan(r.URL.Query().Get("from"), &v.From)
	v.Total, v.From = len(all), max(0, min(v.From, len(all)))
	end := min(len(all), v.From+jobsShown)
	for _, e := range all[v.From:end] {
		v.Jobs = append(v.Jobs, jobLine{e.Path, e.Name})
	}
	if end < len(all) {
		v.Next = end
	}
	return shown("jobs.html", &v)
}

// card is what the list shows of a job once it is planned.
type card struct {
	Schema   string         `json:"schema"` // quoin/desk/card/1
	Path     string         `json:"path"`
	Name     string         `json:"name"`
	Version  string         `json:"version"`
	Ordered  int64          `json:"ordered"`
	Numbers  []plan.Number  `json:"numbers"`
	State    State          `json:"state"`
	Products []plan.Product `json:"products"`

	frame *plan.Frame
}

// cards keeps the last cards, by job: small, and good while the job's version
// and its files are the same.
type cards struct {
	*desk
	mu   sync.Mutex
	kept map[string]*keptCard
	turn sync.Mutex // one job is planned for its card at a time
}

type keptCard struct {
	stamp string
	card  card
}

func newCards(d *desk) *cards { return &cards{desk: d, kept: map[string]*keptCard{}} }

// of plans a job for the list, with no bench that stays.
func (k *cards) of(r *http.Request, path string) (*card, error) {
	text, err := k.text(path)
	if err != nil {
		return nil, err
	}
	k.mu.Lock()
	kept := k.kept[path]
	k.mu.Unlock()
	if kept != nil && kept.stamp == k.stamp(path, text) {
		c := kept.card
		return &c, nil
	}
	k.turn.Lock()
	defer k.turn.Unlock()
	b := plan.NewBench(k.Folder, path, k.alike)
	defer b.Close()
	result, err := b.Plan(r.Context(), text)
	if err != nil {
		return nil, err
	}
	c := card{Schema: "quoin/desk/card/1", Path: path, Name: nameOf(path, result), Version: result.Version, Numbers: result.Numbers,
		Products: result.Products, State: k.receipts.state(path, result), frame: result.Frame}
	if j := result.Job(); j != nil {
		for _, a := range j.Artworks {
			c.Ordered += a.Quantity
		}
	}
	if c.frame != nil {
		k.wantPictures(path, c.frame)
		c.frame.SVG = "" // the list draws its own
	}
	k.mu.Lock()
	k.kept[path] = &keptCard{k.stamp(path, text), c}
	k.mu.Unlock()
	return &c, nil
}

// stamp tells whether a card is still true: by the text, the files of the
// folder that it may rest on, and what was written.
func (k *cards) stamp(path string, text []byte) string {
	stamp := version(text)
	j, _ := plan.Read(k.Folder, path, text)
	for _, f := range plan.Inputs(k.Folder, path, j) {
		stamp += " " + k.Folder.Stamp(f)
	}
	if abs, err := k.Folder.Abs(outputs(path) + ".receipt.json"); err == nil {
		stamp += " " + k.Folder.Stamp(abs)
	}
	return stamp
}

func version(text []byte) string { return folder.Version(text) }

func (d *desk) wantPictures(job string, f *plan.Frame) {
	if f == nil {
		return
	}
	for _, p := range f.Pictures {
		d.pictures.want(job, p.ID, p.White)
	}
}

func (s *pictureRoom) getCard(_ http.ResponseWriter, r *http.Request) (*page, error) {
	c, err := s.cards.of(r, r.PathValue("path"))
	if err != nil {
		return nil, err
	}
	return shown("card.html", c)
}

// thumbSide is how many pixels an artwork has along its longer side in the list.
const thumbSide = 120

// getThumb draws a job's frame for the list, whole in itself.
func (s *pictureRoom) getThumb(w http.ResponseWriter, r *http.Request) (*page, error) {
	c, err := s.cards.of(r, r.PathValue("path"))
	if err != nil {
		return nil, err
	}
	if c.frame == nil {
		return nil, refuse(http.StatusNotFound, refused, "the job has no frame")
	}
	var b strings.Builder
	f := c.frame
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g"><rect width="100%%" height="100%%" fill="#fff"/>`, f.SizeMM[0], f.SizeMM[1])
	for i, p := range f.Pictures {
		data, err := s.small(r.Context(), p.ID, thumbSide)
		if err != nil {
			continue // the label's place is shown
		}
		fmt.Fprintf(&b, `<defs><image id="a%d" width="1" height="1" preserveAspectRatio="none" href="data:image/png;base64,%s"/></defs>`, i+1, base64.StdEncoding.EncodeToString(data))
	}
	for _, st := range f.Stations {
		x, y, wide, high := st[3], st[4], st[5], st[6]
		if st[2] > 0 {
			fmt.Fprintf(&b, `<svg x="%g" y="%g" width="%g" height="%g" viewBox="%[1]g %[2]g %[3]g %[4]g"><use href="#a%d" transform="%s"/></svg>`, x, y, wide, high, int(st[2]), f.Placed(st))
		}
		fmt.Fprintf(&b, `<rect x="%g" y="%g" width="%g" height="%g" fill="none" stroke="#7a8794" stroke-width="%g"/>`, x, y, wide, high, f.SizeMM[0]/300)
	}
	b.WriteString(`</svg>`)
	w.Header().Set("Content-Type", "image/svg+xml")
	_, err = io.WriteString(w, b.String())
	return nil, err
}

// sorted returns the keys of maps.
func sorted(maps_ ...map[string]string) []string {
	all := map[string]bool{}
	for _, m := range maps_ {
		for k := range m {
			all[k] = true
		}
	}
	return slices.Sorted(maps.Keys(all))
}

// newJob begins a job.
type newJob struct {
	Artworks []string `json:"artworks"` // files of the folder
	Name     string   `json:"name,omitempty"`
}

// begun answers where a new job is.
type begun struct {
	Schema string `json:"schema"` // quoin/desk/begun/1
	Path   string `json:"path"`
}

// mostArtworks bounds the artworks of one new job.
const mostArtworks = 50

func (s *jobsRoom) postNew(_ *http.Request, n newJob) (*page, error) {
	if len(n.Artworks) == 0 || len(n.Artworks) > mostArtworks {
		return nil, bad("a job begins with 1 to %d artworks", mostArtworks)
	}
	text, err := plan.Begin(s.Folder, n.Artworks, s.lastJob())
	if err != nil {
		return nil, err
	}
	name := cmp.Or(n.Name, strings.TrimSuffix(path.Base(n.Artworks[0]), path.Ext(n.Artworks[0])))
	return s.edits.begin(name, text)
}

// begin writes a new job under a name that is free.
func (e *edits) begin(name string, text []byte) (*page, error) {
	name = fileName(name)
	for n := 1; n < 1000; n++ {
		at := name + ".yaml"
		if n > 1 {
			at = name + "-" + say.Number(n) + ".yaml"
		}
		if _, err := e.Folder.Read(at, mostJob); err == nil {
			continue
		}
		err := e.Folder.Replace(at, "", text)
		if _, taken := err.(*folder.ConflictError); taken {
			continue
		}
		if err != nil {
			return nil, err
		}
		e.hub.tell(event{Kind: "folder"})
		return &page{http.StatusCreated, "begun.html", begun{"quoin/desk/begun/1", at}}, nil
	}
	return nil, refuse(http.StatusConflict, say.Taken, "there are too many jobs of this name")
}

// fileName makes a name that any system takes as a file's.
func fileName(name string) string {
	name = strings.Map(func(r rune) rune {
		if r < ' ' || strings.ContainsRune(`/\:*?"<>|`, r) {
			return '-'
		}
		return r
	}, name)
	name = strings.Trim(name, ". -")
	if len(name) > 100 {
		name = strings.ToValidUTF8(name[:100], "")
	}
	return cmp.Or(name, "job")
}

// lastJob returns the text of the job that was changed last, the proposal for a new
// one; nil where there is none.
func (s *jobsRoom) lastJob() []byte {
	all, err := s.Folder.Of(folder.Job)
	if err != nil {
		return nil
	}
	for _, e := range all {
		if strings.Contains(e.Path, "/") {
			continue // its files are named from its own folder
		}
		if text, err := s.text(e.Path); err == nil {
			return text
		}
	}
	return nil
}

func (s *jobsRoom) postCopy(_ http.ResponseWriter, r *http.Request) (*page, error) {
	at := r.PathValue("path")
	text, err := s.text(at)
	if err != nil {
		return nil, err
	}
	if strings.Contains(at, "/") {
		return nil, bad("a job in a folder of its own is copied with its files, by the system")
	}
	return s.edits.begin(bare(at), text)
}
