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
	source *source // of the thing that is being read
	name   string  // of the record that is being read; see Fault.Record
}

func newReader(path string, data []byte) *reader {
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // the mark that spreadsheets put in front
	r := &reader{path: path, text: string(data), starts: []int{0}}
	for i := range len(data) {
		if data[i] == '\n' {
			r.starts = append(r.starts, i+1)
		}
	}
	return r
}

// begin starts a thing whose places go to s.
func (r *reader) begin(s *source, at place) {
	*s = source{path: r.path, record: at}
	r.source, r.name = s, ""
}

func (r *reader) fault(at place, key, text, hint string) {
	f := Fault{
		Position: Position{r.path, at.line, at.col},
		Key:      key, Record: r.name, Text: visible(text), Hint: visible(hint),
	}
	f.Quote, f.caret = quote(r.line(at.line), at.col-1)
	f.Quote = visible(f.Quote)
	r.faults = append(r.faults, f)
}

// visible keeps what a file says from playing tricks on a terminal.
func visible(s string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsControl(c) {
			return ' '
		}
		return c
	}, s)
}

// readable tells whether the file is text in UTF-8, and faults the first byte
// that isn't.
func (r *reader) readable() bool {
	if utf8.ValidString(r.text) {
		return true
	}
	rest := r.text
	for {
		c, n := utf8.DecodeRuneInString(rest)
		if c == utf8.RuneError && n == 1 {
			break
		}
		rest = rest[n:]
	}
	line := sort.SearchInts(r.starts, len(r.text)-len(rest)+1)
	col := r.characters(line, len(r.text)-len(rest)-r.starts[line-1]+1)
	r.fault(place{line, col}, "", "is not text in UTF-8", "save the file as UTF-8")
	return false
}

// err gives all faults found, or nil.
func (r *reader) err() error {
	if len(r.faults) == 0 {
		return nil
	}
	return (&FileError{r.path, r.faults}).sorted()
}

// line gives the n-th line without its end, "" when there is none.
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

// characters turns a column in bytes into one in characters.
func (r *reader) characters(line, col int) int {
	s := r.line(line)
	return 1 + utf8.RuneCountInString(s[:min(len(s), col-1)])
}

// quote cuts a line to what a terminal shows: some text before and behind the
// character at col, which it finds again in the second result.
func quote(line string, col int) (string, int) {
	const before, most = 60, 100
	runes := []rune(line[:min(len(line), 4*(max(col, 0)+most))])
	if col < 0 || col > len(runes) {
		col = 0
	}
	if len(runes) <= most {
		return string(runes), col
	}
	start := max(0, col-before)
	cut := "…" + string(runes[start:min(len(runes), start+most)])
	if start == 0 {
		cut = strings.TrimPrefix(cut, "…")
		return cut + "…", col
	}
	if start+most < len(runes) {
		cut += "…"
	}
	return cut, col - start + 1
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
