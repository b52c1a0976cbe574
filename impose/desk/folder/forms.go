package folder

import (
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"quoin/impose/job"
)

// maybeOrders reports whether the reader of orders takes files of such a name for
// tables.
func maybeOrders(at string) bool {
	return slices.Contains([]string{".csv", ".tsv", ".txt", ".tab", ".xlsx", ".xlsm"}, strings.ToLower(path.Ext(at)))
}

// forms are the ways in which the folder's jobs and houses say that order lists
// are written. They are read when a table asks for them.
type forms struct {
	folder *Folder
	jobs   []string // that say one
	read   bool
	said   []job.OrderForm // by the jobs
	houses map[string]job.Houses
}

// form is a way to write an order list, with the job that says it.
type form struct {
	job.OrderForm
	by string
}

// ask makes a table an order list if the reader of orders takes it for one: in
// the form that its house says, or in that of a job.
func (s *forms) ask(e *Entry) {
	ways := s.of(path.Dir(e.Path))
	asked := fmt.Sprint(ways)
	k := s.folder.known(e.Path)
	if k.asked != asked {
		k.asked, k.listed, k.by = asked, false, ""
		if text, err := s.text(e.Path); err == nil {
			for _, w := range ways {
				if w.Lists(e.Path, text) {
					k.listed, k.by = true, w.by
					break
				}
			}
		}
		s.folder.remember(e.Path, k)
	}
	if k.listed {
		e.Kind, e.By = Orders, k.by
	}
}

// text reads what is needed to know an order list: all of a workbook, the first
// rows of a table.
func (s *forms) text(at string) ([]byte, error) {
	if ext := strings.ToLower(path.Ext(at)); ext == ".xlsx" || ext == ".xlsm" {
		return s.folder.Read(at, mostText)
	}
	return s.folder.head(at)
}

// of returns the forms for a list in a folder, the house's first. A job or a house
// that is at fault says none.
func (s *forms) of(dir string) []form {
	houses, ok := s.houses[dir]
	if !ok {
		houses, _ = job.FindHousesBy(filepath.Join(s.folder.Path, filepath.FromSlash(dir)), s.folder.House, s.folder.Named)
		s.houses[dir] = houses
	}
	list := []form{{}}
	if j, err := houses.New(dir, nil); err == nil {
		list[0].OrderForm = j.Orders
	}
	if !s.read {
		s.read = true
		for _, at := range s.jobs {
			var said job.OrderForm
			if text, err := s.folder.Read(at, mostText); err == nil {
				if j, _ := houses.ParseJob(filepath.Join(s.folder.Path, filepath.FromSlash(at)), text, s.folder.Named); j != nil {
					said = j.Orders
				}
			}
			s.said = append(s.said, said)
		}
	}
	for i, at := range s.jobs {
		list = append(list, form{s.said[i], at})
	}
	return list
}

// known returns what is remembered of a file.
func (f *Folder) known(at string) known {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.seen[at]
}

func (f *Folder) remember(at string, k known) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.seen[at] = k
}

// mostHead is as much of a table as tells what it is.
const mostHead = 256 << 10

// head reads the beginning of a file, whole lines of one that is longer.
func (f *Folder) head(rel string) ([]byte, error) {
	text, err := f.begin(rel, mostHead)
	if len(text) == mostHead {
		if i := strings.LastIndexByte(string(text), '\n'); i > 0 {
			text = text[:i+1]
		}
	}
	return text, err
}
