package job

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"

	"quoin/geometry"
)

// The largest files that are read. A die takes some 150 bytes, an order 200.
const (
	maxJobBytes  = 1 << 20
	maxListBytes = 64 << 20
)

// reader gathers the faults of one file while it is read.
type reader struct {
	path   string
	text   string
	starts []int // offset of each line's first byte
	faults []Fault
	words  []Fault // nothing is wrong with these, but people should know
	source *source // of the thing that is being read
	gears  map[string]geometry.Gear
	cursor cursor
	skip   func(key string, value *yaml.Node) bool // reports that a key is not to be read; may be nil
	heard  func(string)                            // of each value that was read, in its own words; may be nil

	form   OrderForm  // how the cells of a table are written
	marks  decimals   // what their marks mean
	orders bool       // the table lists orders, whose form can be said
	sheet  bool       // the text stands for a spreadsheet: one line for each row, a tab between cells
	shown  *sheetText // that spreadsheet; nil for other files
}

func newReader(path string, data []byte) *reader {
	data = bytes.TrimPrefix(inUTF8(data), []byte("\ufeff")) // the mark that spreadsheets put in front
	r := &reader{path: path, text: string(data), starts: []int{0}, gears: map[string]geometry.Gear{}, marks: decimals{commas: true}}
	for i := range len(data) {
		if data[i] == '\n' {
			r.starts = append(r.starts, i+1)
		}
	}
	return r
}

// begin starts a thing of so many keys, whose places go to s.
func (r *reader) begin(s *source, at place, keys int) {
	*s = source{path: r.path, record: at, values: make([]keyPlace, 0, keys)}
	r.source = s
}

// maxFaults bounds what is said of a file that is something else altogether.
const maxFaults = 10_000

// fault notes what is wrong with the value of a key, or with the file where the key
// is empty.
func (r *reader) fault(at place, key, what, hint string) { r.add(r.said(at, key, what, hint)) }

// faultAt notes what is wrong at a key in a sentence that says it without the key.
func (r *reader) faultAt(at place, key, text, hint string) {
	f := r.said(at, "", text, hint)
	f.Key = key
	r.add(f)
}

func (r *reader) add(f Fault) {
	if r.full() {
		return
	}
	if len(r.faults) == maxFaults-1 {
		f.Key, f.Of, f.Hint = "", "", ""
		f.What = fmt.Sprintf("%d faults: whatever else there is, is not listed", maxFaults-1)
	}
	r.faults = append(r.faults, f)
}

// word notes what a person should know, though nothing is wrong with it.
func (r *reader) word(at place, text, hint string) {
	if len(r.words) < maxColumns {
		r.words = append(r.words, r.said(at, "", text, hint))
	}
}

func (r *reader) said(at place, key, what, hint string) Fault {
	f := Fault{
		Position: Position{r.path, at.line, at.col},
		Key:      key, Of: visible(key), What: visible(what), Hint: visible(hint),
	}
	f.Quote, f.caret = quote(r.line(at.line), at.col-1)
	f.Quote = visible(f.Quote)
	if r.sheet && at.line > 0 {
		f.Col = r.cellColumn(at)
		f.cell = cellName(f.Line, f.Col)
	}
	return f
}

// full reports whether so much is wrong that reading on makes no sense.
func (r *reader) full() bool { return len(r.faults) == maxFaults }

// visible keeps what a file says from playing tricks on a terminal.
func visible(s string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsControl(c) {
			return ' '
		}
		return c
	}, s)
}

// readable reports whether the file is plain text in UTF-8, and faults the first
// character that isn't.
func (r *reader) readable() bool {
	i, text, hint := notPlain(r.text)
	if text == "" {
		return true
	}
	line := sort.SearchInts(r.starts, i+1)
	r.fault(place{line, r.characters(line, i-r.starts[line-1]+1)}, "", text, hint)
	return false
}

const notUTF8 = "is not text in UTF-8"

// notPlain finds the first character that is no plain text in UTF-8, and says
// what it is; the text is "" when there is none.
func notPlain(s string) (at int, text, hint string) {
	for i, c := range s {
		hint = "save the file as text in UTF-8"
		switch {
		case c == utf8.RuneError && !strings.HasPrefix(s[i:], "\ufffd"):
			return i, notUTF8, hint
		case c == '\r' && (i+1 == len(s) || s[i+1] != '\n'), c == '\u0085', c == '\u2028', c == '\u2029':
			return i, fmt.Sprintf("ends a line with %U, which few programs count as a line", c), "save the file with the line ends of Unix or Windows"
		case unicode.IsControl(c) && c != '\t' && c != '\n' && c != '\r':
			return i, fmt.Sprintf("holds the control character %U", c), hint
		}
	}
	return 0, "", ""
}

// err returns all faults found, or nil.
func (r *reader) err() error {
	if len(r.faults) == 0 {
		return nil
	}
	return (&FileError{Path: r.path, Faults: r.faults}).sorted()
}

// line returns the n-th line without its end, "" when there is none.
func (r *reader) line(n int) string {
	if n < 1 || n > len(r.starts) {
		return ""
	}
	s := r.text[r.starts[n-1]:]
	if n < len(r.starts) {
		s = s[:r.starts[n]-r.starts[n-1]]
	}
	return strings.TrimRight(s, "\r\n")
}

// characters turns a column in bytes into one in characters. It goes on from
// where it was asked last, so that a line of many cells is counted once.
func (r *reader) characters(line, col int) int {
	c := &r.cursor
	if c.line != line || c.col > col {
		*c = cursor{line, 1, 1}
	}
	s := r.line(line)
	c.characters += utf8.RuneCountInString(s[min(len(s), c.col-1):min(len(s), col-1)])
	c.col = col
	return c.characters
}

// cursor is a column of a line, in bytes and in characters.
type cursor struct{ line, col, characters int }

// quote cuts a line to what a terminal shows: some text before and behind the
// character at col, which it finds again in the second result. Lines that no
// person wrote are not quoted.
func quote(line string, col int) (string, int) {
	const before, most, longest = 60, 100, 10_000
	if len(line) > longest {
		return "", 0
	}
	runes := []rune(line)
	if col < 0 || col > len(runes) {
		col = 0
	}
	if len(runes) <= most {
		return line, col
	}
	start := max(0, col-before)
	end := min(len(runes), start+most)
	cut := string(runes[start:end])
	if start > 0 {
		cut = "…" + cut
		col -= start - 1
	}
	if end < len(runes) {
		cut += "…"
	}
	return cut, col
}

// load reads a file of at most so many bytes.
func load(path string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, err
	}
	if int64(len(data)) > most {
		return nil, fmt.Errorf("%s is larger than the %d MB that such a file may have", path, most>>20)
	}
	return data, nil
}
