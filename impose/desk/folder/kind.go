package folder

import (
	"bytes"
	"cmp"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"quoin/impose/job"
	"quoin/impose/wholefile"
)

// Kind is what a file is for.
type Kind string

// The kinds.
const (
	Job     Kind = "job"
	Press   Kind = "press"
	Dies    Kind = "dies"
	Orders  Kind = "orders"
	House   Kind = "house"  // what a house says once for the jobs beside it
	Shared  Kind = "shared" // a job file without label and artworks: what the runs of a night share
	Table   Kind = "table"  // a CSV of anything else
	Artwork Kind = "artwork"
	Other   Kind = ""
)

// Entry is a file of the folder.
type Entry struct {
	Path string // seen from the folder, with slashes
	Kind Kind
	Name string // as its key name says, of a job or a press; or the file's
	Time time.Time
	// By is the job whose key orders says how an order list is written, where the
	// list can't be read without; "" where it can.
	By string
}

// known is what a file was when it was looked at.
type known struct {
	size int64
	time time.Time
	kind Kind
	name string
	form bool // it says how order lists are written

	// asked are the forms in which a table was last tried as an order list, and
	// listed what came of it.
	asked  string
	listed bool
	by     string
}

// deepest and most bound the walk: a folder of work, not a disk.
const (
	deepest = 5
	most    = 50_000
)

// Outputs is the folder that the desk writes into.
const Outputs = "out"

// List returns the files that matter, newest first.
func (f *Folder) List() ([]Entry, error) {
	var list []Entry
	said := &forms{folder: f, houses: map[string]job.Houses{}}
	err := fs.WalkDir(f.root.FS(), ".", func(at string, d fs.DirEntry, err error) error {
		name := d.Name()
		switch {
		case err != nil:
			if at == "." {
				return err
			}
			return nil // of one that can't be read nothing is shown
		case at != "." && strings.HasPrefix(name, "."), d.IsDir() && (name == Outputs || strings.Count(at, "/") >= deepest), len(list) > most:
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		case d.IsDir():
			return nil
		}
		info, err := d.Info()
		if err != nil || !info.Mode().IsRegular() {
			return nil
		}
		e := f.entry(at, info)
		if (e.Kind == Job || e.Kind == Shared) && f.known(at).form {
			said.jobs = append(said.jobs, at)
		}
		if e.Kind != Other || maybeOrders(at) {
			list = append(list, e)
		}
		return nil
	})
	for i := range list {
		if e := &list[i]; maybeOrders(e.Path) && e.Kind != Dies && e.Kind != Artwork {
			said.ask(e)
		}
	}
	list = slices.DeleteFunc(list, func(e Entry) bool { return e.Kind == Other })
	slices.SortStableFunc(list, func(a, b Entry) int {
		return cmp.Or(b.Time.Compare(a.Time), cmp.Compare(a.Path, b.Path))
	})
	return list, err
}

// Of returns the files of one kind.
func (f *Folder) Of(kind Kind) ([]Entry, error) {
	all, err := f.List()
	return slices.DeleteFunc(all, func(e Entry) bool { return e.Kind != kind }), err
}

func (f *Folder) entry(at string, info fs.FileInfo) Entry {
	k := f.known(at)
	if k.size != info.Size() || !k.time.Equal(info.ModTime()) {
		k = known{size: info.Size(), time: info.ModTime()}
		k.kind, k.name, k.form = f.look(at)
		f.remember(at, k)
	}
	name := cmp.Or(k.name, strings.TrimSuffix(path.Base(at), path.Ext(at)))
	return Entry{Path: at, Kind: k.kind, Name: name, Time: k.time}
}

// look says what a file is by its outermost keys, or its first line.
func (f *Folder) look(at string) (kind Kind, name string, form bool) {
	switch strings.ToLower(path.Ext(at)) {
	case ".pdf":
		return Artwork, "", false
	case ".yaml", ".yml":
		text, err := f.Read(at, mostText)
		if err != nil {
			return Other, "", false
		}
		kind, name = kindOf(text)
		if kind == Orders && !(job.OrderForm{}).Lists(at, text) {
			kind = Shared // it says how lists are written, and has none
		}
		if (kind == Job || kind == Shared || kind == Orders) && path.Base(at) == job.HouseFile && !bytes.Contains(text, []byte("\nartworks:")) {
			kind = House
		}
		return kind, name, bytes.Contains(text, []byte("\norders:")) || bytes.HasPrefix(text, []byte("orders:"))
	case ".csv":
		text, err := f.head(at)
		if err != nil {
			return Other, "", false
		}
		for bytes.HasPrefix(text, []byte("#")) {
			_, text, _ = bytes.Cut(text, []byte("\n"))
		}
		head, _, _ := bytes.Cut(text, []byte("\n"))
		columns := strings.FieldsFunc(strings.ToLower(string(head)), func(r rune) bool { return strings.ContainsRune(",;\t\r\" ", r) })
		has := func(names ...string) bool {
			return !slices.ContainsFunc(names, func(n string) bool { return !slices.Contains(columns, n) })
		}
		if has("number", "size", "lanes") {
			return Dies, "", false
		}
		return Table, "", false // which may list orders: see forms
	}
	return Other, "", false
}

// kindOf looks at the keys that stand in the first column.
func kindOf(text []byte) (Kind, string) {
	keys := map[string]bool{}
	name := ""
	for len(text) > 0 {
		var line []byte
		line, text, _ = bytes.Cut(text, []byte("\n"))
		key, value, ok := bytes.Cut(line, []byte(":"))
		if !ok || len(key) == 0 || bytes.IndexByte([]byte(" #-\t"), key[0]) >= 0 {
			continue
		}
		keys[string(key)] = true
		if string(key) == "name" {
			if i := bytes.Index(value, []byte(" #")); i >= 0 {
				value = value[:i]
			}
			name = strings.Trim(strings.TrimSpace(string(value)), `"'`)
		}
	}
	switch {
	case keys["artworks"], keys["label"]:
		return Job, name
	case keys["press"] && !keys["orders"], keys["web"]:
		return Shared, name
	case keys["orders"]:
		return Orders, name
	case keys["dies"]:
		return Dies, name
	case keys["web-max"], keys["speeds"], keys["stations"], keys["finishing"]:
		return Press, name
	}
	return Other, ""
}

// summed is a file's sum while neither its size nor its time change.
type summed struct {
	size int64
	time time.Time
	sum  string
}

// Sum returns the SHA-256 of a file, by a path that leads there; "" of one that is
// not there or not in the folder.
func (f *Folder) Sum(abs string) string {
	info, err := f.stat(abs)
	if err != nil {
		return ""
	}
	f.mu.Lock()
	s, ok := f.sums[abs]
	f.mu.Unlock()
	if ok && s.size == info.Size() && s.time.Equal(info.ModTime()) {
		return s.sum
	}
	sum, err := wholefile.SHA256(abs)
	if err != nil {
		return ""
	}
	f.mu.Lock()
	f.sums[abs] = summed{info.Size(), info.ModTime(), sum}
	f.mu.Unlock()
	return sum
}

// Stamp reports whether a file has changed, by its size and time; "" of one that is
// not there or not in the folder.
func (f *Folder) Stamp(abs string) string {
	info, err := f.stat(abs)
	if err != nil {
		return ""
	}
	return info.ModTime().String() + strconv.FormatInt(info.Size(), 10)
}
