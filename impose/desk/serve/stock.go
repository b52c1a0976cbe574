package serve

import (
	"errors"
	"io/fs"
	"net/http"

	"quoin/impose/desk/folder"
	"quoin/impose/job"
	"quoin/impose/say"
)

// stockRoom shows and changes what the folder says of the house.
type stockRoom struct{ *desk }

// stockView lists what the folder says of the house: presses, with their webs
// and materials, and die rooms.
type stockView struct {
	Schema  string      `json:"schema"` // quoin/desk/stock/1
	Presses []entryView `json:"presses"`
	Rooms   []entryView `json:"rooms"`
	Houses  []entryView `json:"houses"` // files of what a house says for all jobs beside them
	Own     *ownHouse   `json:"own,omitempty"`
}

// ownHouse is the user's own house file, which stands outside the folder: it is
// shown, and changed where it stands.
type ownHouse struct {
	Path   string   `json:"path"`
	Text   string   `json:"text"`
	Faults []oddity `json:"faults"`
}

// own reads the user's own house file; nil where there is none.
func (s *stockRoom) own() *ownHouse {
	if s.Folder.House == "" {
		return nil
	}
	h, err := job.ReadHouse(s.Folder.House)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	o := &ownHouse{Path: s.Folder.House, Faults: []oddity{}}
	var file *job.FileError
	switch {
	case errors.As(err, &file):
		o.Faults = oddities(file.Faults)
	case err != nil:
		o.Faults = []oddity{{Text: err.Error(), Hint: say.Hint(err)}}
	default:
		o.Text = h.Text()
	}
	return o
}

func (s *stockRoom) list(http.ResponseWriter, *http.Request) (*page, error) {
	v := stockView{Schema: "quoin/desk/stock/1"}
	var err error
	if v.Presses, err = s.entries(folder.Press); err == nil {
		v.Rooms, err = s.entries(folder.Dies)
	}
	if err == nil {
		v.Houses, err = s.entries(folder.House)
	}
	if err != nil {
		return nil, err
	}
	v.Own = s.own()
	return shown("stock.html", v)
}

// stockFileView is a press file or a die room as text, with what is wrong in it.
type stockFileView struct {
	Schema  string      `json:"schema"` // quoin/desk/stock-file/1
	Path    string      `json:"path"`
	Kind    folder.Kind `json:"kind"`
	Version string      `json:"version"`
	Text    string      `json:"text"`
	Faults  []oddity    `json:"faults"`
	Count   int         `json:"count,omitempty"` // dies in a room
	Saved   bool        `json:"saved,omitempty"`
}

const mostStock = 8 << 20

// kind tells what a file is; other kinds are not edited here.
func (s *stockRoom) kind(at string) (folder.Kind, error) {
	for _, kind := range []folder.Kind{folder.Press, folder.Dies, folder.House} {
		list, err := s.Folder.Of(kind)
		if err != nil {
			return "", err
		}
		for _, e := range list {
			if e.Path == at {
				return kind, nil
			}
		}
	}
	if _, err := s.Folder.Abs(at); err != nil {
		return "", err
	}
	return "", refuse(http.StatusNotFound, notFound, "it is no press file, die room or house file of the folder")
}

// checked reads a text as its file would be read.
func (s *stockRoom) checked(kind folder.Kind, at string, text []byte) (faults []oddity, count int, err error) {
	abs, err := s.Folder.Abs(at)
	if err != nil {
		return nil, 0, err
	}
	switch kind {
	case folder.Press:
		_, err = job.ParsePress(abs, text)
	case folder.House:
		_, err = job.ParseHouseBy(abs, text, s.Folder.Named)
	default:
		var room *job.Library
		if room, err = job.ParseDies(abs, text); room != nil {
			count = len(room.Dies)
		}
	}
	var file *job.FileError
	if errors.As(err, &file) {
		return oddities(file.Faults), count, nil
	}
	return []oddity{}, count, err
}

func (s *stockRoom) getFile(_ http.ResponseWriter, r *http.Request) (*page, error) {
	at := r.PathValue("path")
	kind, err := s.kind(at)
	if err != nil {
		return nil, err
	}
	text, err := s.Folder.Read(at, mostStock)
	if err != nil {
		return nil, err
	}
	v := stockFileView{Schema: "quoin/desk/stock-file/1", Path: at, Kind: kind, Version: folder.Version(text), Text: string(text)}
	if v.Faults, v.Count, err = s.checked(kind, at, text); err != nil {
		return nil, err
	}
	return shown("stockfile.html", v)
}

// stockChange is a file's text as it is to be, and the version that it was made of.
type stockChange struct {
	Base string `json:"base"`
	Text string `json:"text"`
}

// postFile keeps a file that has no fault, if it is still the one that was
// opened.
func (s *stockRoom) postFile(r *http.Request, c stockChange) (*page, error) {
	at := r.PathValue("path")
	kind, err := s.kind(at)
	if err != nil {
		return nil, err
	}
	v := stockFileView{Schema: "quoin/desk/stock-file/1", Path: at, Kind: kind, Version: c.Base, Text: c.Text}
	if v.Faults, v.Count, err = s.checked(kind, at, []byte(c.Text)); err != nil {
		return nil, err
	}
	status := http.StatusUnprocessableEntity
	if len(v.Faults) == 0 {
		err := s.Folder.Replace(at, c.Base, []byte(c.Text))
		var conflict *folder.ConflictError
		switch {
		case errors.As(err, &conflict):
			status = http.StatusConflict
			v.Faults = []oddity{{Text: "the file has been changed by somebody else since it was opened: copy your text, open it again, and put your change over theirs"}}
		case err != nil:
			return nil, err
		default:
			status, v.Saved, v.Version = http.StatusOK, true, folder.Version([]byte(c.Text))
			s.hub.tell(event{Kind: "folder"})
		}
	}
	return &page{status, "stockfile.html", v}, nil
}
