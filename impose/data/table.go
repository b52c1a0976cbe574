package data

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"os"
	"slices"
	"strings"
	"unicode/utf8"

	"quoin/impose/say"
)

// table is a CSV file (RFC 4180) with a row of column names first. Cells may be
// parted by semicolons or tabs, as spreadsheets of many countries write them,
// and a byte order mark may stand in front. Empty lines are no rows.
type table struct {
	path    string
	columns []string
	rows    int64
	sum     string // SHA-256 of the whole file

	comma rune
	skip  int64 // bytes of the byte order mark
	marks []mark
}

// mark is where a stretch of rows begins: an offset from which the next row is
// read, and that row's line. The sum is of the bytes up to where the stretch
// ends, so that what is printed is proved to be what was checked.
type mark struct {
	offset, end int64
	line        int
	sum         [sha256.Size]byte
}

// stretch is how many rows lie between two marks: ten million rows make 2,442
// marks, and finding a row reads past 4,095 others at most.
const stretch = 4096

// openTable reads the names of the columns.
func openTable(path string) (*table, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	t := &table{path: path}
	r, err := t.begin(f)
	if err != nil {
		return nil, err
	}
	return t, t.header(r)
}

// begin returns a reader that stands before the row of names.
func (t *table) begin(f io.Reader) (*tableReader, error) {
	b := bufio.NewReaderSize(f, 1<<16)
	head, err := b.Peek(1 << 12)
	if err != nil && err != io.EOF {
		return nil, err
	}
	if err := t.sniff(head); err != nil {
		return nil, err
	}
	if _, err := b.Discard(int(t.skip)); err != nil {
		return nil, err
	}
	return t.reader(b, t.skip), nil
}

// scan reads the file through. Check is called with every row, in order. The
// first fault ends it.
func (t *table) scan(ctx context.Context, check func(cells []string) error) error {
	f, err := os.Open(t.path)
	if err != nil {
		return err
	}
	defer f.Close()
	sums := &summed{r: f, whole: sha256.New()}
	r, err := t.begin(sums)
	if err != nil {
		return err
	}
	names, err := r.next()
	if err != nil {
		return err
	}
	for i, name := range names {
		if strings.TrimSpace(name) != t.columns[i] {
			return t.changed()
		}
	}
	t.rows, t.marks = 0, nil
	for {
		offset := r.offset()
		cells, err := r.next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return err
		}
		if t.rows%stretch == 0 {
			t.end(sums, offset)
			t.marks = append(t.marks, mark{offset: offset, line: r.line})
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		t.rows++
		if err := check(cells); err != nil {
			return r.fault(t.rows, err)
		}
	}
	t.end(sums, sums.at+int64(len(sums.kept)))
	t.sum = hex.EncodeToString(sums.whole.Sum(nil))
	return nil
}

// end closes the stretch that is open, or the row of names, at an offset.
func (t *table) end(sums *summed, offset int64) {
	sum := sums.cut(offset)
	if n := len(t.marks); n > 0 {
		t.marks[n-1].end, t.marks[n-1].sum = offset, sum
	}
}

// changed tells that the file is no longer the one that was checked.
func (t *table) changed() error {
	return &Fault{Path: t.path, Err: errors.New("has changed since its records were checked"),
		Way: "let nothing write the file while it is printed from, and start again"}
}

// summed keeps what is read until it is cut off and summed up.
type summed struct {
	r     io.Reader
	whole hash.Hash
	kept  []byte
	at    int64 // offset of kept in the file
}

func (s *summed) Read(p []byte) (int, error) {
	n, err := s.r.Read(p)
	s.kept = append(s.kept, p[:n]...)
	return n, err
}

// cut returns the sum of what was kept up to an offset, and lets go of it.
func (s *summed) cut(offset int64) [sha256.Size]byte {
	head := s.kept[:offset-s.at]
	s.whole.Write(head)
	sum := sha256.Sum256(head)
	s.kept, s.at = append(s.kept[:0], s.kept[len(head):]...), offset
	return sum
}

// sniff looks at the file's start for its byte order mark and for what parts
// its cells.
func (t *table) sniff(head []byte) error {
	for _, wide := range []string{"\xff\xfe", "\xfe\xff"} {
		if bytes.HasPrefix(head, []byte(wide)) {
			return &Fault{Path: t.path, Line: 1, Err: errors.New("is written in UTF-16"), Way: "save it as CSV in UTF-8"}
		}
	}
	head, marked := bytes.CutPrefix(head, []byte("\ufeff"))
	if marked {
		t.skip = int64(len("\ufeff"))
	}
	line, _, _ := bytes.Cut(head, []byte("\n"))
	t.comma = ','
	for _, c := range ";\t" {
		if bytes.Count(line, []byte(string(c))) > bytes.Count(line, []byte(string(t.comma))) {
			t.comma = c
		}
	}
	return nil
}

func (t *table) header(r *tableReader) error {
	names, err := r.next()
	if err == io.EOF {
		return &Fault{Path: t.path, Line: 1, Err: errors.New("is empty"), Way: "the first line holds the names of the columns"}
	}
	if err != nil {
		return err
	}
	for i, name := range names {
		name = strings.TrimSpace(name)
		var err error
		switch {
		case name == "":
			err = fmt.Errorf("column %d has no name", i+1)
		case slices.Contains(t.columns, name):
			err = fmt.Errorf("the column %q is here twice", name)
		case strings.ContainsAny(name, "{}\n"):
			err = fmt.Errorf("the column name %q holds a brace or a line end", name)
		}
		if err != nil {
			return &Fault{Path: t.path, Line: r.line, Column: name, Err: err, Way: "the first line holds a name of its own for each column"}
		}
		t.columns = append(t.columns, name)
	}
	r.csv.FieldsPerRecord = len(t.columns)
	return nil
}

// tableReader reads rows one after another.
type tableReader struct {
	table *table
	csv   *csv.Reader
	start int64 // offset in the file of what csv reads
	shift int   // lines of the file before those that csv counts
	mark  int   // line of the next row, to find shift by; 0 once it is known
	line  int   // of the last row

	behind int // the line behind the last row; 0 before the first
}

func (t *table) reader(r io.Reader, start int64) *tableReader {
	c := csv.NewReader(r)
	c.Comma = t.comma
	c.ReuseRecord = true
	c.FieldsPerRecord = len(t.columns)
	return &tableReader{table: t, csv: c, start: start}
}

func (r *tableReader) offset() int64 { return r.start + r.csv.InputOffset() }

// next returns the next row's cells; the slice is used again.
func (r *tableReader) next() ([]string, error) {
	cells, err := r.csv.Read()
	if err == io.EOF {
		return nil, err
	}
	if e, ok := errors.AsType[*csv.ParseError](err); ok {
		f := &Fault{Path: r.table.path, Line: r.shift + e.Line, Err: fmt.Errorf("is not CSV: %w", e.Err),
			Way: `put a cell that holds a quote or a line end in quotes, and write each quote inside it twice`}
		if errors.Is(e.Err, csv.ErrFieldCount) {
			f.Err = fmt.Errorf("has %d cells, and there are %d columns", len(cells), len(r.table.columns))
			f.Way = "give every row a cell for each column; put a cell that holds the separator in quotes"
		}
		return nil, f
	}
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", r.table.path, err)
	}
	line, _ := r.csv.FieldPos(0)
	if r.mark > 0 {
		r.shift, r.mark = r.mark-line, 0
	}
	r.line = r.shift + line
	if r.behind > 0 && r.line > r.behind && len(r.table.columns) == 1 {
		return nil, &Fault{Path: r.table.path, Line: r.behind, Err: errors.New("is blank, and in a file of one column that is a record without its value"),
			Way: `take the line out, or write "" where the record is meant to be empty`}
	}
	last := len(cells) - 1
	from, _ := r.csv.FieldPos(last)
	r.behind = r.shift + from + strings.Count(cells[last], "\n") + 1
	for i, cell := range cells {
		if !utf8.ValidString(cell) {
			return nil, &Fault{Path: r.table.path, Line: r.line, Column: r.name(i), Err: errors.New("is not UTF-8"), Way: "save the file as CSV in UTF-8"}
		}
	}
	return cells, nil
}

func (r *tableReader) name(i int) string {
	if i < len(r.table.columns) {
		return r.table.columns[i]
	}
	return ""
}

// fault adds the place to an error about a row.
func (r *tableReader) fault(row int64, err error) error {
	f, ok := errors.AsType[*Fault](err)
	if !ok {
		f = &Fault{Err: err, Way: say.Hint(err)}
	}
	f.Path, f.Line, f.Record = r.table.path, r.line, row
	return f
}

// from returns a reader whose next row is the given one, the first is 0, and that
// ends with the row's stretch. The table must have been scanned; bytes that are
// no longer those that were scanned are refused.
func (t *table) from(row int64) (*tableReader, error) {
	f, err := os.Open(t.path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	m := t.marks[row/stretch]
	held := make([]byte, m.end-m.offset)
	if _, err := f.ReadAt(held, m.offset); err != nil && err != io.EOF {
		return nil, err
	}
	if sha256.Sum256(held) != m.sum {
		return nil, t.changed()
	}
	r := t.reader(bytes.NewReader(held), m.offset)
	r.mark = m.line
	for range row % stretch {
		if _, err := r.next(); err != nil {
			return nil, err
		}
	}
	return r, nil
}
