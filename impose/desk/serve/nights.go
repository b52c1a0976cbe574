package serve

import (
	"errors"
	"fmt"
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
)

// nightRoom shows order lists, plans their nights and builds them.
type nightRoom struct{ *desk }

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

// entries returns the folder's files of a kind.
func (d *desk) entries(kind folder.Kind) ([]entryView, error) {
	found, err := d.Folder.Of(kind)
	list := []entryView{}
	for _, e := range found {
		list = append(list, entryView{e.Path, e.Name, e.Time, e.By})
	}
	return list, err
}

func (s *nightRoom) list(http.ResponseWriter, *http.Request) (*page, error) {
	lists, err := s.entries(folder.Orders)
	if err != nil {
		return nil, err
	}
	tables, err := s.entries(folder.Table)
	if err != nil {
		return nil, err
	}
	return shown("nights.html", nightsView{"quoin/desk/nights/1", lists, tables})
}

// nightView is an order list as it was read, with the settings of its night.
type nightView struct {
	Schema   string      `json:"schema"` // quoin/desk/night/1
	Path     string      `json:"path"`
	Version  string      `json:"version"`
	Settings settings    `json:"settings"`
	Orders   []orderView `json:"orders"`
	Faults   []oddity    `json:"faults"` // why lines were left out
	Words    []oddity    `json:"words"`  // what is unusual
	Labels   int64       `json:"labels"` // ordered, of those that are planned
	Pins     []pinView   `json:"pins"`
	Out      string      `json:"out"` // where the night is built
	Command  string      `json:"command"`
	Jobs     []string    `json:"jobs"`
	Presses  []string    `json:"presses"`
	Rooms    []string    `json:"rooms"`
	Last     *Task       `json:"last,omitempty"`
}

// orderView is one order of a list.
type orderView struct {
	ID       string   `json:"order"`
	Line     int      `json:"line"`
	Product  string   `json:"product,omitempty"`
	Artwork  string   `json:"artwork,omitempty"`
	Missing  bool     `json:"missing,omitempty"` // the artwork is not there
	Quantity int64    `json:"quantity"`
	Label    string   `json:"label,omitempty"`
	Material string   `json:"material,omitempty"`
	Due      string   `json:"due,omitempty"`
	Words    string   `json:"words,omitempty"`
	Held     bool     `json:"held,omitempty"`
	Out      bool     `json:"out,omitempty"`    // taken out of the night
	Pinned   []string `json:"pinned,omitempty"` // what binds it to others
}

// oddity is something about a line.
type oddity struct {
	Line  int    `json:"line,omitempty"`
	Order string `json:"order,omitempty"`
	Text  string `json:"text"`
	Hint  string `json:"hint,omitempty"`
}

// of reads an order list.
func (s *nightRoom) of(at string, n settings) (*nightView, error) {
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
		Schema: "quoin/desk/night/1", Path: at, Version: folder.Version(text), Settings: n, Out: s.out(at), Pins: n.pins(),
		Faults: oddities(list.Bad), Words: oddities(list.Words),
	}
	for i := range list.Orders {
		o := s.order(&list.Orders[i], n)
		if !o.Held && !o.Out {
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
func (s *nightRoom) orderForm(at string, n settings) (form job.OrderForm, err error) {
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

// out is the folder that a night is built in.
func (s *nightRoom) out(at string) string {
	return folder.Outputs + "/" + strings.ReplaceAll(strings.TrimSuffix(at, path.Ext(at)), "/", "-") + "-night"
}

// named lists the folder's files of a kind.
func (d *desk) named(kind folder.Kind) (list []string) {
	found, err := d.Folder.Of(kind)
	if err != nil {
		return nil
	}
	for _, e := range found {
		list = append(list, e.Path)
	}
	return list
}

func (s *nightRoom) order(o *job.Order, n settings) orderView {
	v := orderView{ID: o.ID, Line: o.At("order").Line, Product: o.Product, Artwork: o.Artwork, Quantity: o.Quantity, Material: o.Material, Held: slices.Contains(n.Without, o.ID), Out: slices.Contains(n.TakeOut, o.ID), Pinned: n.with(o.ID)}
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
		list = append(list, oddity{f.Line, f.Record, f.Text(), f.Hint})
	}
	return list
}

func (s *nightRoom) get(w http.ResponseWriter, r *http.Request) (*page, error) {
	if r.URL.RawQuery == "" && !wantsJSON(r) { // opened anew: by the job that says how the list is written
		if by := s.by(r.PathValue("path")); by != "" {
			http.Redirect(w, r, link("night", r.PathValue("path"))+"?"+url.Values{"job": {by}}.Encode(), http.StatusSeeOther)
			return nil, nil
		}
	}
	v, err := s.of(r.PathValue("path"), settingsOf(r.URL.Query()))
	if err != nil {
		return nil, err
	}
	return shown("night.html", v)
}

// by returns the job without which an order list can't be read; "" for none.
func (s *nightRoom) by(at string) string {
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
