package serve

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"quoin/impose/desk/edit"
	"quoin/impose/desk/folder"
)

// materialRoom shows what press files say of materials, and changes it.
type materialRoom struct {
	*desk
	stock *stockRoom
}

// materialsView is what the folder's press files say of materials.
type materialsView struct {
	Schema  string           `json:"schema"` // quoin/desk/materials/1
	Presses []pressMaterials `json:"presses"`
}

// pressMaterials is what one of them says.
type pressMaterials struct {
	Path    string          `json:"path"`
	Name    string          `json:"name"`
	Version string          `json:"version"`
	Lists   []materialsList `json:"lists"`
	Faults  []oddity        `json:"faults"`
	Saved   bool            `json:"saved,omitempty"`
}

// materialsList is one list of a press file, an item for each line.
type materialsList struct {
	Key     string           `json:"key"`
	Title   string           `json:"title"`
	About   string           `json:"about"`
	Columns []materialColumn `json:"columns"`
	Items   []materialItem   `json:"items"`
}

// materialColumn is a value of each item.
type materialColumn struct {
	Key   string `json:"key"`
	Title string `json:"title"`
	Like  string `json:"like"` // as the file would say it
}

type materialItem struct {
	Index  int      `json:"index"`
	Values []string `json:"values"` // "" where the file says none
}

// materialLists are the lists of a press file that speak of materials.
func materialLists() []materialsList {
	return []materialsList{
		{Key: "finishing.stripping", Title: "Narrowest matrix", About: "Gaps below the first are refused, below the second warned of.",
			Columns: []materialColumn{{"material", "Material", "paper"}, {"refuse", "Refused below", "2mm"}, {"warn", "Warned below", "3mm"}}},
		{Key: "prices.materials", Title: "Price of the web", About: "Of materials that don't cost what the press file's web does.",
			Columns: []materialColumn{{"material", "Material", "film"}, {"web", "Price", "0.48/m2"}}},
		{Key: "in-stock", Title: "Rolls on the shelf", About: "A material that stands here is printed on nothing else.",
			Columns: []materialColumn{{"material", "Material", "film"}, {"width", "Width", "340mm"}, {"length", "Length", "900m"}, {"price", "Price", "0.30/m2"}, {"remainder", "A rest", "true"}}},
	}
}

func (s *materialRoom) get(http.ResponseWriter, *http.Request) (*page, error) {
	v := materialsView{Schema: "quoin/desk/materials/1", Presses: []pressMaterials{}}
	presses, err := s.Folder.Of(folder.Press)
	if err != nil {
		return nil, err
	}
	for _, e := range presses {
		text, err := s.Folder.Read(e.Path, mostStock)
		if err != nil {
			continue // the list of presses says it
		}
		p := materialsOf(e, text)
		if p.Faults, _, err = s.stock.checked(folder.Press, e.Path, text); err != nil {
			return nil, err
		}
		v.Presses = append(v.Presses, p)
	}
	return shown("materials.html", v)
}

func materialsOf(e folder.Entry, text []byte) pressMaterials {
	p := pressMaterials{Path: e.Path, Name: e.Name, Version: folder.Version(text), Lists: materialLists()}
	for i := range p.Lists {
		l := &p.Lists[i]
		l.Items = []materialItem{}
		for n := range edit.Len(text, l.Key) {
			item := materialItem{Index: n}
			for _, c := range l.Columns {
				value, _, _ := edit.Get(text, l.Key+"["+strconv.Itoa(n)+"]."+c.Key)
				item.Values = append(item.Values, value)
			}
			l.Items = append(l.Items, item)
		}
	}
	return p
}

// materialsChange is what a request changes: values of items, an item more, or
// one less.
type materialsChange struct {
	Base string      `json:"base"`
	Set  []edit.Edit `json:"set,omitempty"`
	Add  string      `json:"add,omitempty"`  // the list that gets an item of the values in Item
	Item []edit.Edit `json:"item,omitempty"` // of a new item, by the columns' keys
	Drop string      `json:"drop,omitempty"` // the item that goes, as in-stock[1]
}

// apply returns the text with the change, which may touch the lists of materials only.
func (c *materialsChange) apply(text []byte) ([]byte, error) {
	known := func(key string) bool {
		return slices.ContainsFunc(materialLists(), func(l materialsList) bool { return key == l.Key || strings.HasPrefix(key, l.Key+"[") })
	}
	for _, e := range append([]edit.Edit{{Key: c.Add}, {Key: c.Drop}}, c.Set...) {
		if e.Key != "" && !known(e.Key) {
			return nil, bad("only the lists of materials are changed here")
		}
	}
	next, err := edit.Apply(text, nil, c.Set...)
	if err == nil && c.Drop != "" {
		next, err = edit.Apply(next, nil, edit.Edit{Key: c.Drop})
	}
	if err == nil && c.Add != "" {
		next, err = edit.Append(next, nil, c.Add, c.Item)
	}
	return next, err
}

// post changes a press file where it speaks of materials. It keeps all
// other bytes, is checked as the file is, and is refused where somebody else has
// changed the file.
func (s *materialRoom) post(r *http.Request, c materialsChange) (*page, error) {
	at := r.PathValue("path")
	kind, err := s.stock.kind(at)
	if err == nil && kind != folder.Press {
		err = refuse(http.StatusNotFound, notFound, "it is no press file of the folder")
	}
	if err != nil {
		return nil, err
	}
	text, err := s.Folder.Read(at, mostStock)
	if err != nil {
		return nil, err
	}
	next, err := c.apply(text)
	if err != nil {
		return nil, err
	}
	faults, _, err := s.stock.checked(folder.Press, at, next)
	if err != nil {
		return nil, err
	}
	if len(faults) > 0 { // the file stays as it is
		p := materialsOf(folder.Entry{Path: at, Name: bare(at)}, text)
		p.Faults = faults
		return &page{http.StatusUnprocessableEntity, "materials.html", materialsView{"quoin/desk/materials/1", []pressMaterials{p}}}, nil
	}
	var conflict *folder.ConflictError
	if err := s.Folder.Replace(at, c.Base, next); errors.As(err, &conflict) {
		return nil, refuse(http.StatusConflict, changed, "the file has been changed by somebody else since it was opened: open it again")
	} else if err != nil {
		return nil, err
	}
	s.hub.tell(event{Kind: "folder"})
	p := materialsOf(folder.Entry{Path: at, Name: bare(at)}, next)
	p.Saved, p.Faults = true, []oddity{}
	return shown("materials.html", materialsView{"quoin/desk/materials/1", []pressMaterials{p}})
}
