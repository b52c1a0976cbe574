package data

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
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
	Randoms  []Random
	Repeats
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
	Made  string // hash over what else the values depend on; "" where they are the file's

	table    *table
	counters []Counter
	rows     int64 // without a file
	randoms  []Random
	digits   []*Digits // by column
	every    bool
	spread   spread
}

// Open reads the names of the values. Scan must follow before records are
// read.
func Open(d Definition) (*Records, error) {
	r := &Records{Count: d.Count, rows: d.Count, counters: d.Counters, randoms: slices.Clone(d.Randoms), every: d.Every || len(d.Randoms) > 0}
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
		r.every = r.every || c.Letters != "" // letters differ in width, and in how symbols hold them
	}
	for _, c := range d.Randoms {
		if slices.Contains(r.Names, c.Name) || c.Name == "" {
			return nil, &Fault{Path: d.File, Column: c.Name, Err: errors.New("random codes need a name of their own"), Way: "give them a name that no column and no counter has"}
		}
		r.Names = append(r.Names, c.Name)
	}
	var err error
	if r.Made, err = d.made(); err != nil {
		return nil, err
	}
	r.spread, err = newSpread(d.Repeats, r.Names[:len(r.digits)])
	return r, err
}

// made is a hash over what values are made of beside the file.
func (d *Definition) made() (string, error) {
	if len(d.Digits)+len(d.Counters)+len(d.Randoms) == 0 && d.Repeats == (Repeats{}) {
		return "", nil
	}
	text, err := json.Marshal([]any{d.Digits, d.Counters, d.Randoms, d.Repeats})
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:]), err
}

func (r *Records) namesHint() string { return fmt.Sprintf("the names are %q", r.Names) }

// Scan reads the file through and checks what can be known of the records
// before the first label is printed: rows, check digits, copies, how far the
// counters reach. Check, if given, sees the values of every row of the file that
// is printed, in order; without a file it sees the first and the last, because
// plain counters have nothing that could be wrong in between, or with
// Definition.Every each of them.
func (r *Records) Scan(ctx context.Context, check func(values []string) error) error {
	if check == nil {
		check = func([]string) error { return nil }
	}
	r.spread.rows, r.spread.labels, r.spread.starts = 0, 0, nil
	for i := range r.randoms { // all that could be asked for: rows are not counted yet
		if err := r.randoms[i].prepare(0); err != nil {
			return err
		}
	}
	if r.table != nil {
		var values []string
		err := r.table.scan(ctx, func(cells []string) error {
			n := r.spread.rows
			for i := range r.randoms {
				if n >= r.randoms[i].codes-r.randoms[i].Start {
					return r.randoms[i].prepare(n + 1)
				}
			}
			var err error
			if values, err = r.complete(values[:0], cells, n); err != nil {
				return err
			}
			before := r.spread.labels
			if err := r.spread.countRow(values); err != nil || r.spread.labels == before {
				return err
			}
			return check(values)
		})
		if err != nil {
			return err
		}
		if r.Sum = r.table.sum; r.table.rows == 0 {
			return &Fault{Path: r.table.path, Err: errors.New("has no rows below the names of its columns")}
		}
	} else {
		r.spread.count(r.rows)
	}
	if r.Count = r.spread.labels; r.Count == 0 {
		return &Fault{Err: errors.New("none of the records is printed"), Way: "let the first and the last row and the copies leave some"}
	}
	for _, c := range r.counters {
		if err := c.check(r.spread.rows); err != nil {
			return err
		}
	}
	for i := range r.randoms {
		if err := r.randoms[i].prepare(r.spread.rows); err != nil {
			return err
		}
	}
	if r.table != nil {
		return nil
	}
	return r.scanCounted(ctx, check)
}

// scanCounted shows the values of records without a file.
func (r *Records) scanCounted(ctx context.Context, check func(values []string) error) error {
	first, last := max(0, r.spread.First-1), r.spread.rows-1
	if r.spread.Last > 0 {
		last = min(last, r.spread.Last-1)
	}
	step := max(1, last-first)
	if r.every {
		step = 1
	}
	var values []string
	for n := first; n <= last; n += step {
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

// complete adds check digits, counters and random codes to the cells of row n.
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
	for i := range r.randoms {
		values = append(values, r.randoms[i].text(n))
	}
	return values, nil
}

// Reader reads records one after another.
type Reader struct {
	records *Records
	spread  spreadReader
	next    int64
}

// rowReader reads rows with all their values.
type rowReader struct {
	records *Records
	rows    *tableReader
	next    int64
	values  []string
}

// From returns a reader whose first record is number n; the first of all is 1.
// Scan must have been done.
func (r *Records) From(n int64) (*Reader, error) {
	if n < 1 || n > r.Count {
		return nil, fmt.Errorf("there is no record %d among %d", n, r.Count)
	}
	row, labels := n-1, n-1
	if !r.spread.plain() {
		row, labels = r.spread.before(n - 1)
	}
	rows, err := r.rowsFrom(row)
	if err != nil {
		return nil, err
	}
	rd := &Reader{records: r, spread: spreadReader{rows: rows}, next: labels}
	for rd.next < n-1 {
		if _, err := rd.Next(); err != nil {
			return nil, err
		}
	}
	return rd, nil
}

func (r *Records) rowsFrom(row int64) (*rowReader, error) {
	rd := &rowReader{records: r, next: row}
	if r.table != nil {
		var err error
		if rd.rows, err = r.table.from(row); err != nil {
			return nil, err
		}
	}
	return rd, nil
}

// Next returns the values of the next record, by Names; the slice is used again.
// Behind the last it is io.EOF.
func (r *Reader) Next() ([]string, error) {
	if r.next >= r.records.Count {
		return nil, io.EOF
	}
	values, err := r.spread.next(&r.records.spread)
	r.next++
	return values, err
}

// Again reports whether the record that was read last is a copy of the one before.
func (r *Reader) Again() bool { return r.spread.copy > 0 }

// read returns the values of the next row.
func (r *rowReader) read() ([]string, error) {
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
		return nil, r.fault(err)
	}
	return values, nil
}

// Fault adds the place of the record that was read last to an error.
func (r *Reader) Fault(err error) error {
	if r.records.table != nil {
		err = r.spread.rows.fault(err)
		if f, ok := err.(*Fault); ok {
			f.Record = r.next
		}
		return err
	}
	return &Fault{Record: r.next, Err: err}
}

func (r *rowReader) fault(err error) error {
	if r.rows != nil {
		return r.rows.fault(r.next, err)
	}
	return &Fault{Record: r.next, Err: err}
}
