package data

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"quoin/impose/checkdigit"
)

// Digits says what is to be done about the check digit of a column.
type Digits struct {
	Column string
	Scheme checkdigit.Scheme
	// Add works the check digit out and writes it behind the value; otherwise
	// the value has one, and it is checked.
	Add bool
}

// Definition says what records are made of.
type Definition struct {
	File     string // CSV; "" when there are only counters
	Count    int64  // of records without a file; 0 with one
	Digits   []Digits
	Counters []Counter
	// Every asks Scan to show the values of all records, also of those that are
	// only counted: their widths may differ in between.
	Every bool
}

// Records are all records of a run. Each value has a name: the file's columns
// first, then the counters.
type Records struct {
	Names []string
	Count int64  // known after Scan
	Sum   string // SHA-256 of the file, "" without one; known after Scan

	table    *table
	counters []Counter
	digits   []*Digits // by column
	every    bool
}

// Open reads the names of the values. Scan must follow before records are
// read.
func Open(d Definition) (*Records, error) {
	r := &Records{Count: d.Count, counters: d.Counters, every: d.Every}
	switch {
	case d.File != "" && d.Count != 0:
		return nil, &Fault{Err: errors.New("records come from a file or by a count, not both"), Way: "leave one of the two out"}
	case d.File == "" && d.Count < 1:
		return nil, &Fault{Err: errors.New("there are no records"), Way: "name a CSV file, or give a count and counters"}
	case d.File != "":
		var err error
		if r.table, err = openTable(d.File); err != nil {
			return nil, err
		}
		r.Names = slices.Clone(r.table.columns)
	}
	r.digits = make([]*Digits, len(r.Names))
	for i, s := range d.Digits {
		at := slices.Index(r.Names, s.Column)
		if at < 0 {
			return nil, &Fault{Path: d.File, Column: s.Column, Err: errors.New("there is no such column to check"), Way: r.namesHint()}
		}
		if _, err := s.Scheme.Digit("0"); err != nil {
			return nil, &Fault{Column: s.Column, Err: err, Way: "write gs1 or luhn"}
		}
		r.digits[at] = &d.Digits[i]
	}
	for _, c := range d.Counters {
		if slices.Contains(r.Names, c.Name) || c.Name == "" {
			return nil, &Fault{Path: d.File, Column: c.Name, Err: errors.New("a counter needs a name of its own"), Way: "give it a name that no column and no other counter has"}
		}
		r.Names = append(r.Names, c.Name)
	}
	return r, nil
}

func (r *Records) namesHint() string { return fmt.Sprintf("the names are %q", r.Names) }

// Scan reads the file through and checks what can be known of the records
// before the first label is printed: rows, check digits, how far the counters
// reach. Check, if given, sees the values of every record of the file, in
// order; without a file it sees the first and the last, because counters have
// nothing that could be wrong in between.
func (r *Records) Scan(ctx context.Context, check func(values []string) error) error {
	if check == nil {
		check = func([]string) error { return nil }
	}
	var values []string
	if r.table != nil {
		var n int64
		err := r.table.scan(ctx, func(cells []string) error {
			var err error
			if values, err = r.complete(values[:0], cells, n); err != nil {
				return err
			}
			n++
			return check(values)
		})
		if err != nil {
			return err
		}
		if r.Count, r.Sum = r.table.rows, r.table.sum; r.Count == 0 {
			return &Fault{Path: r.table.path, Err: errors.New("has no rows below the names of its columns")}
		}
	}
	for _, c := range r.counters {
		if err := c.check(r.Count); err != nil {
			return err
		}
	}
	if r.table != nil {
		return nil
	}
	step := max(1, r.Count-1)
	if r.every {
		step = 1
	}
	for n := int64(0); n < r.Count; n += step {
		if n%(1<<14) == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		values, _ = r.complete(values[:0], nil, n) // without cells nothing can fail
		if err := check(values); err != nil {
			return &Fault{Record: n + 1, Err: err}
		}
	}
	return nil
}

// complete adds check digits and counters to the cells of record n.
func (r *Records) complete(values, cells []string, n int64) ([]string, error) {
	for i, cell := range cells {
		if d := r.digits[i]; d != nil {
			var err error
			if d.Add {
				cell, err = d.Scheme.Append(cell)
			} else {
				err = d.Scheme.Verify(cell)
			}
			if err != nil {
				return values, &Fault{Column: d.Column, Err: err}
			}
		}
		values = append(values, cell)
	}
	for _, c := range r.counters {
		values = append(values, c.text(n))
	}
	return values, nil
}

// Reader reads records one after another.
type Reader struct {
	records *Records
	rows    *tableReader
	next    int64
	values  []string
}

// From gives a reader whose first record is number n; the first of all is 1.
// Scan must have been done.
func (r *Records) From(n int64) (*Reader, error) {
	if n < 1 || n > r.Count {
		return nil, fmt.Errorf("there is no record %d among %d", n, r.Count)
	}
	rd := &Reader{records: r, next: n - 1}
	if r.table != nil {
		var err error
		if rd.rows, err = r.table.from(n - 1); err != nil {
			return nil, err
		}
	}
	return rd, nil
}

// Next gives the values of the next record, by Names; the slice is used again.
// Behind the last it is io.EOF.
func (r *Reader) Next() ([]string, error) {
	if r.next >= r.records.Count {
		return nil, io.EOF
	}
	var cells []string
	if r.rows != nil {
		var err error
		if cells, err = r.rows.next(); err == io.EOF { // the stretch's
			if r.rows, err = r.records.table.from(r.next); err == nil {
				cells, err = r.rows.next()
			}
		}
		if err != nil {
			return nil, err
		}
	}
	values, err := r.records.complete(r.values[:0], cells, r.next)
	r.values = values
	r.next++
	if err != nil {
		return nil, r.Fault(err)
	}
	return values, nil
}

// Fault adds the place of the record that was read last to an error.
func (r *Reader) Fault(err error) error {
	if r.rows != nil {
		return r.rows.fault(r.next, err)
	}
	return &Fault{Record: r.next, Err: err}
}
