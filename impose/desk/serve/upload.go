package serve

import (
	"bytes"
	"io"
	"mime"
	"net/http"
	"path"
	"strings"

	"quoin/impose/desk/edit"
	"quoin/impose/desk/plan"
	"quoin/impose/say"
)

// uploadRoom takes files in, and puts them into jobs.
type uploadRoom struct {
	*desk
	edits *edits
}

// Limits of what is dropped at once.
const (
	mostUpload  = 512 << 20
	mostDropped = 50
)

// uploaded answers where dropped files are.
type uploaded struct {
	Schema string   `json:"schema"` // quoin/desk/uploaded/1
	Files  []string `json:"files"`
}

// post takes artworks and tables in as multipart/form-data, each under its
// name or one like it. A file that is neither is refused, and with it those behind
// it.
func (s *uploadRoom) post(w http.ResponseWriter, r *http.Request) (*page, error) {
	r.Body = http.MaxBytesReader(w, r.Body, mostUpload)
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || kind != "multipart/form-data" {
		return nil, refuse(http.StatusUnsupportedMediaType, badRequest, "send the files as multipart/form-data")
	}
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, bad("%v", err)
	}
	up := uploaded{Schema: "quoin/desk/uploaded/1", Files: []string{}}
	for {
		part, err := parts.NextPart()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, asBody(err)
		}
		if part.FileName() == "" {
			continue
		}
		if len(up.Files) == mostDropped {
			return nil, refuse(http.StatusRequestEntityTooLarge, tooMany, "more than %d files at once", mostDropped)
		}
		name, err := s.take(part.FileName(), part)
		if err != nil {
			return nil, asBody(err)
		}
		up.Files = append(up.Files, name)
	}
	if len(up.Files) == 0 {
		return nil, bad("there is no file in the request")
	}
	s.hub.tell(event{Kind: "folder"})
	return &page{http.StatusCreated, "begun.html", up}, nil
}

// asBody makes a fault of the request of what a broken body gives.
func asBody(err error) error {
	if strings.Contains(err.Error(), "multipart") || err == io.ErrUnexpectedEOF {
		return bad("the request ends too early or is no multipart/form-data")
	}
	return err
}

// tables are the endings of order lists and records, each with what such a file
// begins with; "" is text.
var tables = map[string]string{".csv": "", ".tsv": "", ".txt": "", ".tab": "", ".xlsx": "PK\x03\x04", ".xlsm": "PK\x03\x04"}

// isTable reports whether a file is a table by its name and by how it begins: text
// holds no zero bytes, but for UTF-16, which says so.
func isTable(ext string, head []byte) bool {
	begins, ok := tables[ext]
	if !ok {
		return false
	}
	if begins != "" {
		return bytes.HasPrefix(head, []byte(begins))
	}
	return len(head) > 0 && (bytes.IndexByte(head, 0) < 0 || bytes.HasPrefix(head, []byte("\xff\xfe")) || bytes.HasPrefix(head, []byte("\xfe\xff")))
}

// take takes one artwork or table in.
func (s *uploadRoom) take(name string, from io.Reader) (string, error) {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	head := make([]byte, 1024) // ISO 32000-1, Annex H.3.4.1: readers look for the header so far
	n, err := io.ReadFull(from, head)
	if err != nil && err != io.ErrUnexpectedEOF && err != io.EOF {
		return "", err
	}
	if ext := strings.ToLower(path.Ext(name)); isTable(ext, head[:n]) {
		name = fileName(strings.TrimSuffix(name, path.Ext(name))) + ext
		return s.Folder.Put(name, io.MultiReader(bytes.NewReader(head[:n]), from))
	}
	if !bytes.Contains(head[:n], []byte("%PDF-")) {
		return "", refuse(http.StatusUnsupportedMediaType, notPDF, "%s is neither a PDF nor a table", say.Clip(name, 100))
	}
	name = fileName(strings.TrimSuffix(name, path.Ext(name))) + ".pdf"
	if dir, err := s.Folder.Dir("artwork"); err == nil && dir {
		name = "artwork/" + name
	}
	return s.Folder.Put(name, io.MultiReader(bytes.NewReader(head[:n]), from))
}

// moreLanes asks for artworks of the folder in a job.
type moreLanes struct {
	Base     string   `json:"base"`
	Artworks []string `json:"artworks"`
}

// postLanes adds artworks of the folder to a job.
func (s *uploadRoom) postLanes(r *http.Request, c moreLanes) (*page, error) {
	if len(c.Artworks) == 0 || len(c.Artworks) > mostArtworks {
		return nil, bad("add 1 to %d artworks", mostArtworks)
	}
	now, err := s.planned(r)
	if err != nil {
		return nil, err
	}
	one := change{Base: c.Base, Set: []edit.Edit{}}
	for _, a := range c.Artworks {
		one.Set = append(one.Set, edit.Edit{Key: "artworks", Value: a})
	}
	if c.Base != now.result.Version {
		return s.edits.conflict(now.path, one, now.text)
	}
	next, err := plan.AddLanes(s.Folder, now.path, now.text, c.Artworks)
	if err != nil {
		return nil, err
	}
	return s.edits.replace(r, now, one, next, "artworks added")
}
