package job

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"go.yaml.in/yaml/v4"

	"quoin/impose/say"
)

// HouseFile is the name of a house file, beside jobs and in the user's folder.
const HouseFile = "house.yaml"

// House is a house file: what a house says once for all its jobs, under the keys
// of a job file. It is read and free of faults.
type House struct {
	Path   string // as it was found
	SHA256 string // of its bytes, in hexadecimal
	text   []byte
	open   func(path string, most int64) ([]byte, error)
}

// Houses are the house files that a job begins from, the nearest first: what it
// says wins over the others. Nil is none.
type Houses []*House

// oneJobs are the keys of a job file that speak of one job or one label: no
// house says them for all.
var oneJobs = []string{
	"name", "date", "label", "shape", "outline", "outline-layer", "ignore-die-line", "radius", "nest", "nest-upright", "nest-apart",
	"turn", "die", "lanes", "rows", "shift", "second-surface", "artworks", "permitted-by", "data", "fields",
}

// houseKeys are the keys that a house file may hold.
func houseKeys() []field[jobFile] {
	return slices.DeleteFunc(slices.Clone(jobKeys), func(f field[jobFile]) bool { return slices.Contains(oneJobs, f.key) })
}

// ReadHouse reads a house file. Its faults, and those of the files that it
// names, come as one *FileError.
func ReadHouse(path string) (*House, error) {
	return readHouseBy(path, loadRegular)
}

func readHouseBy(path string, open func(string, int64) ([]byte, error)) (*House, error) {
	text, err := open(path, maxJobBytes)
	if err != nil {
		return nil, err
	}
	return ParseHouseBy(path, text, open)
}

// ParseHouseBy is ReadHouse for a file that is in memory already, with a way of
// its own to the press and the dies that the house names: open reads a file of at
// most so many bytes. The path is for messages, and its folder for the files that
// it names.
func ParseHouseBy(path string, text []byte, open func(string, int64) ([]byte, error)) (*House, error) {
	sum := sha256.Sum256(text)
	h := &House{Path: path, SHA256: hex.EncodeToString(sum[:]), text: text, open: open}
	if h.ofColours() {
		return h, say.Refuse(say.BadFile, "quoin colour and impose --targets take it behind --house", "%s says what a house's colours are, and nothing of its jobs", path)
	}
	return h, h.under(New(), nil)
}

// Text returns the house file as it was read.
func (h *House) Text() string { return string(h.text) }

// Files returns the paths of the house file and of all files that it names.
func (h *House) Files() []string {
	j := New()
	j.Dir = filepath.Dir(h.Path)
	if h.under(j, nil) != nil {
		return []string{h.Path}
	}
	return append(j.Files(), j.Dies.Outlines()...)
}

// FindHouses reads the house files for jobs in a folder: the one beside them, and
// the user's own. Either may be missing, and so may both. A file of colours that
// has the name is passed over: quoin colour takes it behind --house.
func FindHouses(dir string) (Houses, error) {
	return FindHousesBy(dir, UserHouse(), loadRegular)
}

// FindHousesBy is FindHouses with a way of its own to the file beside the jobs
// and to what that names. The user's own file is own, "" for none; it and what it
// names are read as ever.
func FindHousesBy(dir, own string, open func(path string, most int64) ([]byte, error)) (Houses, error) {
	paths := []string{filepath.Join(dir, HouseFile)}
	if own != "" {
		paths = append(paths, own)
	}
	var list Houses
	var met []os.FileInfo
	for n, path := range paths {
		if n > 0 {
			open = loadRegular
		}
		info, err := os.Stat(path)
		if errors.Is(err, fs.ErrNotExist) || err == nil && slices.ContainsFunc(met, func(m os.FileInfo) bool { return os.SameFile(m, info) }) {
			continue
		}
		h, err := readHouseBy(path, open)
		if h != nil && h.ofColours() {
			continue
		}
		if err != nil {
			return nil, err
		}
		list, met = append(list, h), append(met, info)
	}
	return list, nil
}

// UserHouse returns where the user's own house file would be; "" where the system
// knows no folder for it.
func UserHouse() string {
	dir, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "quoin", HouseFile)
}

// ofColours reports whether this is what a house says of its colours, which is a
// file of another kind.
func (h *House) ofColours() bool {
	var root yaml.Node
	if yaml.Load(h.text, &root) != nil || len(root.Content) == 0 || root.Content[0].Kind != yaml.MappingNode {
		return false
	}
	keys := 0
	for i := 0; i+1 < len(root.Content[0].Content); i += 2 {
		if !slices.Contains([]string{"tolerances", "paper", "spots"}, root.Content[0].Content[i].Value) {
			return false
		}
		keys++
	}
	return keys > 0
}

// under reads the file into a job that holds what is farther away, except what
// is nearer, and notes what was taken.
func (h *House) under(j *Job, near nearer) error {
	r := newReader(h.Path, h.text)
	took := Took{House: h}
	r.begin(&took.source, place{1, 1}, len(jobKeys))
	root, ok := r.root()
	if ok {
		r.skip = func(key string, node *yaml.Node) bool { return near.says(key, node) }
		f := jobFile{Job: j, open: h.open, from: &took.source, dir: filepath.Dir(h.Path), house: true}
		profile := j.Output.Profile
		readMap(root, &f, houseKeys())
		f.check(root)
		if j.Output.Profile != profile {
			j.Output.Profile = besideJob(j, h.Path, j.Output.Profile)
		}
		took.list("", root.node, near)
	}
	if err := r.err(); err != nil {
		return err
	}
	if len(took.Keys) > 0 {
		j.Took = append([]Took{took}, j.Took...)
	}
	return nil
}

// besideJob names a file that a house file names, as the job would.
func besideJob(j *Job, house, file string) string {
	if filepath.IsAbs(file) {
		return file
	}
	return SeenFrom(j.Dir, beside(house, file))
}

// SeenFrom names a file, which is seen from the working folder, as a job in a
// folder would: from the root where no other way leads there.
func SeenFrom(dir, file string) string {
	if filepath.IsAbs(file) {
		return file
	}
	if rel, err := filepath.Rel(dir, file); err == nil {
		return rel
	}
	if abs, err := filepath.Abs(file); err == nil {
		return abs
	}
	return file
}

// Took is what a job took from a house file.
type Took struct {
	*House
	Keys []TookKey // in the order of the file; none in a job that took nothing
	// source has the places of the file's values.
	source source
}

// TookKey is one value.
type TookKey struct {
	Key   string // as "marks.register.size"
	Value string // as the file writes it; of a list, parted by commas
	Line  int    // in the file, from 1
}

// list gathers the values below a node that nobody nearer says.
func (t *Took) list(key string, node *yaml.Node, near nearer) {
	for i := 0; i+1 < len(node.Content); i += 2 {
		inner, v := joined(key, node.Content[i].Value), node.Content[i+1]
		switch {
		case near.says(inner, v):
		case v.Kind == yaml.MappingNode:
			t.list(inner, v, near)
		default:
			t.Keys = append(t.Keys, TookKey{inner, written(v), v.Line})
		}
	}
}

func written(v *yaml.Node) string {
	if v.Kind != yaml.SequenceNode {
		return v.Value
	}
	var items []string
	for _, item := range v.Content {
		items = append(items, item.Value)
	}
	return strings.Join(items, ", ")
}
