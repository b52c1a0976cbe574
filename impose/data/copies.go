package data

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// Repeats says which rows of the records become labels, and how often.
type Repeats struct {
	Copies int64  // of each row; 0 counts as 1
	Column string // that holds the copies of its row instead; none for 0
	First  int64  // row that is printed first; 0 for the first of all
	Last   int64  // and last; 0 for the last of all
}

// spread maps labels, which are called records everywhere else, to rows.
type spread struct {
	Repeats
	column int     // index; -1 for none
	starts []int64 // labels before each stretch of rows
	rows   int64
	labels int64
}

func newSpread(r Repeats, names []string) (spread, error) {
	s := spread{Repeats: r, column: -1}
	s.Copies = cmp.Or(s.Copies, 1)
	switch {
	case r.Copies < 0 || r.First < 0 || r.Last < 0 || r.Last > 0 && r.Last < r.First:
		return s, &Fault{Err: fmt.Errorf("%d copies of the rows from %d to %d can't be printed", r.Copies, r.First, r.Last), Way: "give counts of 1 or more, the first row before the last"}
	case r.Column != "":
		if s.column = slices.Index(names, r.Column); s.column < 0 {
			return s, &Fault{Column: r.Column, Err: fmt.Errorf("there is no such column to count copies by"), Way: fmt.Sprintf("the names are %q", names)}
		}
	}
	return s, nil
}

// copies returns how many labels a row becomes, the first row is 0.
func (s *spread) copies(row int64, values []string) (int64, error) {
	if row+1 < s.First || s.Last > 0 && row+1 > s.Last {
		return 0, nil
	}
	if s.column < 0 {
		return s.Copies, nil
	}
	n, err := strconv.ParseInt(strings.TrimSpace(values[s.column]), 10, 32)
	if err != nil || n < 0 {
		return 0, &Fault{Column: s.Column, Err: fmt.Errorf("%q is no number of copies", values[s.column]), Way: "write a whole number, 0 for none"}
	}
	return n, nil
}

// countRow counts a row's labels while all are read.
func (s *spread) countRow(values []string) error {
	if s.rows%stretch == 0 {
		s.starts = append(s.starts, s.labels)
	}
	n, err := s.copies(s.rows, values)
	s.rows, s.labels = s.rows+1, s.labels+n
	return err
}

// count counts the labels of so many rows without cells.
func (s *spread) count(rows int64) {
	first, last := max(s.First, 1), rows
	if s.Last > 0 {
		last = min(last, s.Last)
	}
	s.rows, s.labels = rows, max(0, last-first+1)*s.Copies
	for row := int64(0); row < rows && !s.plain(); row += stretch {
		s.starts = append(s.starts, min(max(0, row-first+1)*s.Copies, s.labels))
	}
}

// plain reports whether each row is one label.
func (s *spread) plain() bool {
	return s.Copies == 1 && s.column < 0 && s.First <= 1 && s.Last == 0
}

// before returns the first row of the stretch that holds a label, the first is 0,
// and the labels before that row.
func (s *spread) before(label int64) (row, labels int64) {
	i := sort.Search(len(s.starts), func(i int) bool { return s.starts[i] > label }) - 1
	return int64(i) * stretch, s.starts[i]
}

// spreadReader reads labels one after another, each row as often as it has copies.
type spreadReader struct {
	rows *rowReader
	left int64 // of the row that was read last
	copy int64 // of the label that was read last; the first is 0
	row  []string
}

// next returns the values of the next label.
func (r *spreadReader) next(s *spread) ([]string, error) {
	for r.left == 0 {
		if r.rows.next >= s.rows {
			return nil, io.EOF
		}
		at := r.rows.next
		values, err := r.rows.read()
		if err != nil {
			return nil, err
		}
		if r.left, err = s.copies(at, values); err != nil {
			return nil, r.rows.fault(err)
		}
		r.row, r.copy = values, -1
	}
	r.left--
	r.copy++
	return r.row, nil
}
