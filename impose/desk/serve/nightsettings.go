package serve

import (
	"net/url"
	"path/filepath"
	"slices"

	"quoin/impose/desk/folder"
	"quoin/impose/night"
)

// settings are how a night is planned: they stand in the page's address, so that
// it can be kept and sent.
type settings struct {
	Job      string   `json:"job,omitempty"`
	Press    string   `json:"press,omitempty"`
	Dies     string   `json:"dies,omitempty"`
	Overs    string   `json:"overs,omitempty"`
	Lanes    string   `json:"lanes,omitempty"`
	By       string   `json:"by,omitempty"`
	Day      string   `json:"day,omitempty"`
	Time     string   `json:"time,omitempty"` // of search
	NoSplit  bool     `json:"no_split,omitempty"`
	Compare  bool     `json:"compare,omitempty"`  // say what each rule costs
	Without  []string `json:"without,omitempty"`  // orders that are held back
	TakeOut  []string `json:"take_out,omitempty"` // orders that are not printed
	Together []string `json:"together,omitempty"` // orders that share a run, as A,B
	Apart    []string `json:"apart,omitempty"`    // orders that share none, as A,B
}

// settingsOf reads settings from an address.
func settingsOf(q url.Values) settings {
	return settings{
		Job: q.Get("job"), Press: q.Get("press"), Dies: q.Get("dies"), Overs: q.Get("overs"), Lanes: q.Get("lanes"), By: q.Get("by"), Day: q.Get("day"), Time: q.Get("time"),
		NoSplit: q.Get("no_split") != "", Compare: q.Get("compare") != "",
		Without: q["without"], TakeOut: q["take_out"], Together: q["together"], Apart: q["apart"],
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

// args returns the command that plans a night, or with a folder builds it.
func (n settings) args(list, out string) []string {
	args := []string{"gang", filepath.FromSlash(list)}
	add := func(flag string, values ...string) {
		for _, value := range values {
			if value != "" {
				args = append(args, flag+"="+value)
			}
		}
	}
	add("--job", filepath.FromSlash(n.Job))
	add("--press", filepath.FromSlash(n.Press))
	add("--dies", filepath.FromSlash(n.Dies))
	add("--overs", n.Overs)
	add("--lanes", n.Lanes)
	add("--by", n.By)
	add("--day", n.Day)
	add("--time", n.Time)
	add("--without", n.Without...)
	add("--take-out", n.TakeOut...)
	add("--together", n.Together...)
	add("--apart", n.Apart...)
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

// pinView is a wish of the planner's about several orders.
type pinView struct {
	Key    string   `json:"key"` // together or apart
	Value  string   `json:"value"`
	Orders []string `json:"orders"`
}

// pins lists the wishes. One that can't be read is shown as it is, so that it can
// be taken back.
func (n settings) pins() []pinView {
	list := []pinView{}
	for _, p := range []struct {
		key    string
		values []string
	}{{"together", n.Together}, {"apart", n.Apart}} {
		for _, v := range p.values {
			ids, err := night.ParsePin(v)
			if err != nil {
				ids = []string{v}
			}
			list = append(list, pinView{p.key, v, ids})
		}
	}
	return list
}

// with returns what binds one order to others, for its line.
func (n settings) with(id string) (words []string) {
	for _, p := range n.pins() {
		at := slices.Index(p.Orders, id)
		if at < 0 {
			continue
		}
		for _, other := range slices.Delete(slices.Clone(p.Orders), at, at+1) {
			words = append(words, map[string]string{"together": "with ", "apart": "apart from "}[p.Key]+other)
		}
	}
	return words
}
