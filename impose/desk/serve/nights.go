package serve

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"net/url"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"quoin/impose/desk/folder"
	"quoin/impose/desk/plan"
	"quoin/impose/job"
	night "quoin/impose/night/plan"
	"quoin/impose/say"
)

func (s *Server) nightRoutes() {
	s.mux.HandleFunc("GET /nights", s.getNights)
	s.mux.HandleFunc("GET /night/{path...}", s.getNight)
	s.mux.HandleFunc("GET /night-plan/{path...}", s.getNightPlan)
	s.mux.HandleFunc("POST /night-plan/{path...}", s.postNightPlan)
	s.mux.HandleFunc("POST /night-build/{path...}", s.postNightBuild)
}

// nightsView lists the folder's order lists.
type nightsView struct {
	Schema string      `json:"schema"` // quoin/desk/nights/1
	Lists  []entryView `json:"lists"`
	// Tables are files that aren't understood as order lists, for want of a form or
	// of columns: opening one says why.
	Tables []entryView `json:"tables"`
}

// entryView is a file of the folder.
type entryView struct {
	Path string    `json:"path"`
	Name string    `json:"name"`
	Time time.Time `json:"time"`
	By   string    `json:"by,omitempty"` // the job that says how an order list is written
}

// entries gives the folder's files of a kind.
func (s *Server) entries(kind folder.Kind) ([]entryView, error) {
	found, err := s.Folder.Of(kind)
	list := []entryView{}
	for _, e := range found {
		list = append(list, entryView{e.Path, e.Name, e.Time, e.By})
	}
	return list, err
}

func (s *Server) getNights(w http.ResponseWriter, r *http.Request) {
	lists, err := s.entries(folder.Orders)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	tables, err := s.entries(folder.Table)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.show(w, r, http.StatusOK, "nights.html", nightsView{"quoin/desk/nights/1", lists, tables})
}

// settings are how a night is planned: they stand in the page's address, so that
// it can be kept and sent.
type settings struct {
	Job     string   `json:"job,omitempty"`
	Press   string   `json:"press,omitempty"`
	Dies    string   `json:"dies,omitempty"`
	Overs   string   `json:"overs,omitempty"`
	Lanes   string   `json:"lanes,omitempty"`
	By      string   `json:"by,omitempty"`
	Day     string   `json:"day,omitempty"`
	NoSplit bool     `json:"no_split,omitempty"`
	Compare bool     `json:"compare,omitempty"` // say what each rule costs
	Without []string `json:"without,omitempty"` // orders that are held back
}

// settingsOf reads settings from an address.
func settingsOf(q url.Values) settings {
	return settings{
		Job: q.Get("job"), Press: q.Get("press"), Dies: q.Get("dies"), Overs: q.Get("overs"), Lanes: q.Get("lanes"), By: q.Get("by"), Day: q.Get("day"),
		NoSplit: q.Get("no_split") != "", Compare: q.Get("compare") != "", Without: q["without"],
	}
}

// check refuses files that lead out of the folder. All else the command checks.
func (n settings) check(f *folder.Folder) error {
	for _, file := range []string{n.Job, n.Press, n.Dies} {
		if file == "" {
			continue
		}
		if _, err := f.Abs(file); err != nil {
			return err
		}
	}
	return nil
}

// args gives the command that plans a night, or with a folder builds it.
func (n settings) args(list, out string) []string {
	args := []string{"gang", filepath.FromSlash(list)}
	add := func(flag, value string) {
		if value != "" {
			args = append(args, flag+"="+value)
		}
	}
	add("--job", filepath.FromSlash(n.Job))
	add("--press", filepath.FromSlash(n.Press))
	add("--dies", filepath.FromSlash(n.Dies))
	add("--overs", n.Overs)
	add("--lanes", n.Lanes)
	add("--by", n.By)
	add("--day", n.Day)
	for _, id := range n.Without {
		add("--without", id)
	}
	if n.NoSplit {
		args = append(args, "--no-split")
	}
	if n.Compare && out == "" {
		args = append(args, "--compare")
	}
	if out == "" {
		return append(args, "--plan-only")
	}
	return append(args, "--out", filepath.FromSlash(out))
}

// nightView is an order list as it was read, with the settings of its night.
type nightView struct {
	Schema   string      `json:"schema"` // quoin/desk/night/1
	Path     string      `json:"path"`
	Version  string      `json:"version"`
	Settings settings    `json:"settings"`
	Orders   []orderView `json:"orders"`
	Faults   []oddity    `json:"faults"` // why lines were left out
	Words    []oddity    `json:"words"`  // what is odd
	Labels   int64       `json:"labels"` // ordered, of those that are planned
	Out      string      `json:"out"`    // where the night is built
	Command  string      `json:"command"`
	Jobs     []string    `json:"jobs"`
	Presses  []string    `json:"presses"`
	Rooms    []string    `json:"rooms"`
	Last     *Task       `json:"last,omitempty"`
}

// orderView is one order of a list.
type orderView struct {
	ID       string `json:"order"`
	Line     int    `json:"line"`
	Product  string `json:"product,omitempty"`
	Artwork  string `json:"artwork,omitempty"`
	Missing  bool   `json:"missing,omitempty"` // the artwork is not there
	Quantity int64  `json:"quantity"`
	Label    string `json:"label,omitempty"`
	Material string `json:"material,omitempty"`
	Due      string `json:"due,omitempty"`
	Words    string `json:"words,omitempty"`
	Held     bool   `json:"held,omitempty"`
}

// oddity is something about a line.
type oddity struct {
	Line  int    `json:"line,omitempty"`
	Order string `json:"order,omitempty"`
	Text  string `json:"text"`
	Hint  string `json:"hint,omitempty"`
}

// nightOf reads an order list.
func (s *Server) nightOf(at string, n settings) (*nightView, error) {
	abs, err := s.Folder.Abs(at)
	if err != nil {
		return nil, err
	}
	if err := n.check(s.Folder); err != nil {
		return nil, err
	}
	text, err := s.Folder.Read(at, mostOrders)
	if err != nil {
		return nil, err
	}
	form, err := s.orderForm(at, n)
	if err != nil {
		return nil, err
	}
	list, err := form.ReadList(abs)
	if whole, ok := errors.AsType[*job.FileError](err); ok { // which the page says, beside what may mend it
		list, err = &job.OrderList{Bad: whole.Faults}, nil
	}
	if err != nil {
		return nil, err
	}
	v := &nightView{Orders: []orderView{},
		Schema: "quoin/desk/night/1", Path: at, Version: folder.Version(text), Settings: n, Out: s.nightOut(at),
		Faults: oddities(list.Bad), Words: oddities(list.Words),
	}
	for i := range list.Orders {
		o := s.order(&list.Orders[i], n)
		if !o.Held {
			v.Labels += o.Quantity
		}
		v.Orders = append(v.Orders, o)
	}
	v.Jobs, v.Presses, v.Rooms = append(s.named(folder.Shared), s.named(folder.Job)...), s.named(folder.Press), s.named(folder.Dies)
	v.Command = shell(n.args(at, v.Out))
	if all := s.tasks.of(at); len(all) > 0 {
		v.Last = &all[len(all)-1]
	}
	return v, nil
}

const mostOrders = 64 << 20

// orderForm says how an order list is written, as its night's job or house has it.
func (s *Server) orderForm(at string, n settings) (form job.OrderForm, err error) {
	if n.Job != "" {
		text, err := s.text(n.Job)
		if err != nil {
			return form, err
		}
		if j, _ := plan.Read(s.Folder, n.Job, text); j != nil {
			form = j.Orders
		}
		return form, nil // what is wrong with the job is for its own page, and for the plan
	}
	houses, err := plan.Houses(s.Folder, at)
	if err != nil {
		return form, err
	}
	j, err := houses.New(filepath.Dir(filepath.FromSlash(at)), nil)
	if err != nil {
		return form, err
	}
	return j.Orders, nil
}

// nightOut is the folder that a night is built in.
func (s *Server) nightOut(at string) string {
	return folder.Outputs + "/" + strings.ReplaceAll(strings.TrimSuffix(at, path.Ext(at)), "/", "-") + "-night"
}

// named lists the folder's files of a kind.
func (s *Server) named(kind folder.Kind) (list []string) {
	found, err := s.Folder.Of(kind)
	if err != nil {
		return nil
	}
	for _, e := range found {
		list = append(list, e.Path)
	}
	return list
}

func (s *Server) order(o *job.Order, n settings) orderView {
	v := orderView{ID: o.ID, Line: o.At("order").Line, Product: o.Product, Artwork: o.Artwork, Quantity: o.Quantity, Material: o.Material, Held: slices.Contains(n.Without, o.ID)}
	if o.Artwork != "" {
		v.Missing = s.Folder.Stamp(o.ArtworkPath()) == ""
	}
	if o.Label.Across > 0 {
		v.Label = o.Label.String()
	}
	if !o.Due.IsZero() {
		v.Due = o.Due.Format("2006-01-02")
	}
	var words []string
	for _, w := range []struct {
		said bool
		text string
	}{{o.DrugLabel, "drug label: runs alone"}, {o.Alone, "runs alone"}, {o.NoSplit, "in one run"}, {o.Priority > 0, fmt.Sprintf("priority %d", o.Priority)}} {
		if w.said {
			words = append(words, w.text)
		}
	}
	v.Words = strings.Join(words, ", ")
	return v
}

func oddities(faults []job.Fault) []oddity {
	list := []oddity{}
	for _, f := range faults {
		list = append(list, oddity{f.Line, f.Record, f.Text, f.Hint})
	}
	return list
}

func (s *Server) getNight(w http.ResponseWriter, r *http.Request) {
	if r.URL.RawQuery == "" && !wantsJSON(r) { // opened anew: by the job that says how the list is written
		if by := s.by(r.PathValue("path")); by != "" {
			http.Redirect(w, r, link("night", r.PathValue("path"))+"?"+url.Values{"job": {by}}.Encode(), http.StatusSeeOther)
			return
		}
	}
	v, err := s.nightOf(r.PathValue("path"), settingsOf(r.URL.Query()))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.show(w, r, http.StatusOK, "night.html", v)
}

// by gives the job without which an order list can't be read; "" for none.
func (s *Server) by(at string) string {
	lists, err := s.Folder.Of(folder.Orders)
	if err != nil {
		return ""
	}
	for _, e := range lists {
		if e.Path == at {
			return e.By
		}
	}
	return ""
}

// planView is a planned night.
type planView struct {
	Schema string      `json:"schema"` // quoin/desk/night-plan/1
	Path   string      `json:"path"`
	Plan   *night.Plan `json:"plan"`
}

// Picture draws a run's lanes.
func (v planView) Picture(r night.Run) string { return lanesOf(r) }

// getNightPlan gives the plan that was made last with these settings.
func (s *Server) getNightPlan(w http.ResponseWriter, r *http.Request) {
	at := r.PathValue("path")
	p := s.plans.get(s.nightKey(at), settingsOf(r.URL.Query()))
	if p == nil {
		s.fail(w, r, fs.ErrNotExist)
		return
	}
	s.show(w, r, http.StatusOK, "plan.html", planView{"quoin/desk/night-plan/1", at, p})
}

// nightKey names an order list as it stands: another content is another night.
func (s *Server) nightKey(at string) string {
	return at + " " + s.Folder.Sum(filepath.Join(s.Folder.Path, filepath.FromSlash(at)))
}

// postNightPlan plans a night in a process of its own, which can be stopped.
func (s *Server) postNightPlan(w http.ResponseWriter, r *http.Request) {
	key := s.nightKey(r.PathValue("path")) // as the list stands before it is read
	s.night(w, r, "plan", func(v *nightView, ctx context.Context, args []string, step func(string)) ([]File, []string, error) {
		var out bytes.Buffer
		if _, err := s.run(ctx, append(args, "--json"), &out, step); err != nil {
			return nil, nil, err
		}
		p := &night.Plan{}
		if err := json.Unmarshal(out.Bytes(), p); err != nil {
			return nil, nil, fmt.Errorf("the plan could not be read: %w", err)
		}
		s.plans.put(key, v.Settings, p)
		return nil, nil, nil // what is to be said of it stands in the plan
	})
}

// postNightBuild builds a night's folder.
func (s *Server) postNightBuild(w http.ResponseWriter, r *http.Request) {
	s.night(w, r, "build", func(v *nightView, ctx context.Context, args []string, step func(string)) ([]File, []string, error) {
		if err := s.Folder.Make(folder.Outputs); err != nil {
			return nil, nil, err
		}
		words, err := s.run(ctx, append(args, "--verbose"), nil, step)
		if err != nil {
			return nil, nil, err
		}
		files, err := s.nightFiles(v.Out)
		return files, words, err
	})
}

// night begins a task on an order list.
func (s *Server) night(w http.ResponseWriter, r *http.Request, what string, do func(*nightView, context.Context, []string, func(string)) ([]File, []string, error)) {
	var n settings
	if err := decode(w, r, &n); err != nil {
		s.fail(w, r, err)
		return
	}
	v, err := s.nightOf(r.PathValue("path"), n)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	out := ""
	if what == "build" {
		out = v.Out
	}
	args := n.args(v.Path, out)
	one := Task{Job: v.Path, What: what, Command: append([]string{"quoin"}, args...)}
	t, err := s.tasks.begin(s.ctx, one, s.toldOf, func(ctx context.Context, step func(string)) ([]File, []string, error) {
		return do(v, ctx, args, step)
	})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.show(w, r, http.StatusAccepted, "task.html", taskView{"quoin/desk/task/1", t})
}

// nightFiles lists what a built night holds: the report first, then the runs.
func (s *Server) nightFiles(out string) ([]File, error) {
	abs, err := s.Folder.Abs(out)
	if err != nil {
		return nil, err
	}
	found, err := filepath.Glob(filepath.Join(abs, "*"))
	if err != nil {
		return nil, err
	}
	var files []File
	for _, f := range found {
		name := filepath.Base(f)
		role := map[bool]string{true: "Report", false: "Run"}[strings.HasPrefix(name, "report")]
		if strings.HasSuffix(name, "-sheet.pdf") {
			role = "Job sheet"
		}
		if ext := filepath.Ext(name); ext == ".pdf" || ext == ".html" {
			files = append(files, File{role, out + "/" + name})
		}
	}
	order := []string{"Report", "Run", "Job sheet"}
	slices.SortStableFunc(files, func(a, b File) int { return slices.Index(order, a.Role) - slices.Index(order, b.Role) })
	return files, nil
}

// lanesOf draws a run's lanes to scale across, each with its order; blank ones
// stay white.
func lanesOf(r night.Run) string {
	const wide, high = 300.0, 84.0
	n := max(1, r.Lanes)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %g %g" role="img" aria-label="%s">`, wide, high, say.Count(n, "lane"))
	lane := wide / float64(n)
	at := 0
	for i, o := range r.Orders {
		lanes := int(o.Lanes)
		if lanes == 0 { // stations in mixed lanes
			lanes = max(1, int(o.Stations)/max(1, r.Rows))
		}
		lanes = min(lanes, n-at)
		for k := range lanes {
			left := float64(at+k) * lane
			fmt.Fprintf(&b, `<rect class="lane l%d" x="%.1f" y="1" width="%.1f" height="%g"/>`, i%6, left+1, lane-2, high-2)
			fmt.Fprintf(&b, `<text x="%.1f" y="%g">%s</text>`, left+lane/2, high/2+7, letterOf(i))
		}
		at += lanes
	}
	for ; at < n; at++ {
		fmt.Fprintf(&b, `<rect class="lane blank" x="%.1f" y="1" width="%.1f" height="%g"/>`, float64(at)*lane+1, lane-2, high-2)
	}
	b.WriteString("</svg>")
	return b.String()
}

// letterOf names an order of a run: A, B, ... Z, AA.
func letterOf(i int) string {
	text := ""
	for i++; i > 0; i = (i - 1) / 26 {
		text = string(rune('A'+(i-1)%26)) + text
	}
	return text
}
