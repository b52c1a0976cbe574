package serve

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"quoin/impose/desk/folder"
)

// writeRoom has a job's files written.
type writeRoom struct {
	*desk
	edits *edits
}

// part is something that is written of a job.
type writePart struct {
	Key    string `json:"part"`
	Title  string `json:"title"`
	About  string `json:"about"`
	Path   string `json:"path"` // seen from the folder
	Chosen bool   `json:"chosen"`
	flag   string
}

// parts lists what is written of a job: the PDF, with its summary, always.
func parts(job string) []writePart {
	base := outputs(job)
	return []writePart{
		{"pdf", "Press PDF", "for the RIP, proved against its summary before it appears", base + ".pdf", true, "--output"},
		{"summary", "Summary", "all numbers as JSON; quoin verify needs it", base + ".json", true, "--summary"},
		{"sheet", "Job sheet", "for the pressroom's wall", base + "-sheet.pdf", true, "--sheet"},
		{"ticket", "Finishing ticket", "for the next department, as JSON", base + "-ticket.json", true, "--ticket"},
		{"lanes", "List of lanes", "CSV", base + "-lanes.csv", true, "--lanes-csv"},
		{"cut", "Cutting data", "DXF R12 in mm", base + "-cut.dxf", true, "--cutting-dxf"},
		{"proof", "Proof", "one page to zoom and switch layers", base + "-proof.html", true, "--proof"},
	}
}

// writeView is what can be written of a job.
type writeView struct {
	*jobView
	Parts   []writePart `json:"parts"`
	Command string      `json:"command"` // for a shell, in the folder
	Last    *Task       `json:"last,omitempty"`
}

// Tab names the view of the job that is open.
func (v *writeView) Tab() string { return "write" }

// commandOf returns the command that writes parts of a job.
func commandOf(job string, list []writePart) []string {
	args := []string{"impose", filepath.FromSlash(job)}
	for _, p := range list {
		if p.Chosen {
			args = append(args, p.flag, filepath.FromSlash(p.Path))
		}
	}
	return args
}

// shell writes a command as a POSIX shell takes it.
func shell(args []string) string {
	var words []string
	for _, a := range append([]string{"quoin"}, args...) {
		if a == "" || strings.ContainsFunc(a, func(r rune) bool {
			return !strings.ContainsRune("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./=:,+", r)
		}) {
			a = "'" + strings.ReplaceAll(a, "'", `'\''`) + "'"
		}
		words = append(words, a)
	}
	return strings.Join(words, " ")
}

// chosen marks the parts of a request: all, where it names none.
func chosen(list []writePart, keys []string) ([]writePart, error) {
	if len(keys) == 0 {
		return list, nil
	}
	for _, k := range keys {
		if !slices.ContainsFunc(list, func(p writePart) bool { return p.Key == k }) {
			return nil, bad("there is no part %q", k)
		}
	}
	for i := range list {
		list[i].Chosen = list[i].Key == "pdf" || list[i].Key == "summary" || slices.Contains(keys, list[i].Key)
	}
	return list, nil
}

func (s *writeRoom) get(_ http.ResponseWriter, r *http.Request, now planned) (*page, error) {
	list, err := chosen(parts(now.path), r.URL.Query()["part"])
	if err != nil {
		return nil, err
	}
	v := &writeView{jobView: s.view(now, nil), Parts: list, Command: shell(commandOf(now.path, list))}
	v.Schema = "quoin/desk/write/1"
	if all := s.tasks.of(now.path); len(all) > 0 {
		v.Last = &all[len(all)-1]
	}
	return shown("write.html", v)
}

// writing asks for a job's files.
type writing struct {
	Base  string   `json:"base"`
	Parts []string `json:"parts"` // all, where none is named
}

func (s *writeRoom) post(r *http.Request, c writing) (*page, error) {
	now, err := s.planned(r)
	if err != nil {
		return nil, err
	}
	if c.Base != "" && c.Base != now.result.Version {
		return s.edits.conflict(now.path, change{Base: c.Base}, now.text)
	}
	if !now.result.Planned() {
		return nil, refuse(http.StatusUnprocessableEntity, refused, "the job has no frame: %s", now.result.Faults[0].Text)
	}
	list, err := chosen(parts(now.path), c.Parts)
	if err == nil {
		err = s.Folder.Make(folder.Outputs)
	}
	if err != nil {
		return nil, err
	}
	list = slices.DeleteFunc(list, func(p writePart) bool { return !p.Chosen })
	args := commandOf(now.path, list)
	t, err := s.tasks.begin(s.ctx, Task{Job: now.path, What: "write", Of: len(list) + 1, Command: append([]string{"quoin"}, args...)}, s.hub.toldOf, func(ctx context.Context, step func(string)) ([]File, []string, error) {
		return s.write(ctx, now, list, args, step)
	})
	if err != nil {
		return nil, err
	}
	return &page{http.StatusAccepted, "task.html", taskView{"quoin/desk/task/1", t}}, nil
}

// write runs the command and notes what was written from what.
func (s *writeRoom) write(ctx context.Context, now planned, list []writePart, args []string, step func(string)) ([]File, []string, error) {
	rc := s.receipts.describe(now.path, now.result)
	rc.Command = append([]string{"quoin"}, args...)
	words, err := s.run(ctx, append(args, "--verbose"), nil, step)
	if err != nil {
		return nil, words, err
	}
	var files []File
	for _, p := range list {
		sum := s.Folder.Sum(filepath.Join(s.Folder.Path, filepath.FromSlash(p.Path)))
		if sum == "" {
			return nil, nil, errors.New(p.Path + " is not there")
		}
		files = append(files, File{p.Title, p.Path})
		rc.Outputs = append(rc.Outputs, output{File{p.Title, p.Path}, sum})
	}
	return files, words, s.receipts.keep(rc)
}

// taskView is a piece of work.
type taskView struct {
	Schema string `json:"schema"` // quoin/desk/task/1
	Task
}

func (s *writeRoom) getTask(_ http.ResponseWriter, r *http.Request) (*page, error) {
	t, ok := s.tasks.get(r.PathValue("id"))
	if !ok {
		return nil, fs.ErrNotExist
	}
	return shown("task.html", taskView{"quoin/desk/task/1", t})
}

func (s *writeRoom) postStop(w http.ResponseWriter, r *http.Request) (*page, error) {
	if !s.tasks.stopOne(r.PathValue("id")) {
		return nil, fs.ErrNotExist
	}
	return s.getTask(w, r)
}

// getFile hands a written file out, to be kept: never shown as a page of the
// desk's own.
func (s *writeRoom) getFile(w http.ResponseWriter, r *http.Request) (*page, error) {
	at := r.PathValue("path")
	abs, err := s.Folder.Abs(at)
	if err == nil && !strings.HasPrefix(at, folder.Outputs+"/") {
		err = fs.ErrNotExist
	}
	if err != nil {
		return nil, err
	}
	f, err := os.Open(abs)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		return nil, fs.ErrNotExist
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	w.Header().Set("Content-Security-Policy", "sandbox; default-src 'none'")
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename*=UTF-8''%s", strings.TrimPrefix(link("", path.Base(at)), "//")))
	io.Copy(w, f) // whoever asked may be gone
	return nil, nil
}
