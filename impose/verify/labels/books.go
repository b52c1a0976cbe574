package labels

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"quoin/impose/register"
	"quoin/impose/wholefile"
)

// sum returns the SHA-256 of a file; "" where it is gone.
func sum(path string) (string, error) {
	got, err := wholefile.SHA256(path)
	if os.IsNotExist(err) {
		return "", nil
	}
	return got, err
}

// journal compares the journal with the register.
func (r *run) journal(out *Report) {
	name := r.journalName()
	text, err := os.ReadFile(r.lies(name))
	if err != nil {
		if at, ok := errors.AsType[*os.PathError](err); ok {
			err = at.Err // of the name that people know
		}
		out.differs(JournalDiffers, "%s can't be read: %v", name, err)
		return
	}
	known := map[int64]register.Part{}
	for line := range strings.Lines(string(text)) {
		var entry struct {
			Written *register.Part `json:"written"`
		}
		if err := json.Unmarshal([]byte(line), &entry); err == nil && entry.Written != nil {
			known[entry.Written.Number] = *entry.Written
		}
	}
	for _, p := range r.parts {
		if j, ok := known[p.Number]; !ok || j.Sum != p.Sum || j.Book != p.Book {
			out.differs(JournalDiffers, "part %d is in the register otherwise than in %s", p.Number, name)
		}
		delete(known, p.Number)
	}
	for n := range known {
		out.differs(JournalDiffers, "part %d is in %s and not in the register", n, name)
	}
}

// entry is a line of a ledger.
type entry struct {
	record, frame int64
	lane, row     int
	printed       bool
	change        bool // a change-over label
}

// ledger reads a part's ledger, which must be as it was entered and have a line
// for every station of the part, and hands out its frames one by one.
func (r *run) ledger(p register.Part, out *Report, see func(frame []entry) error) error {
	name := r.path(p.Ledger)
	switch got, err := sum(r.lies(name)); {
	case err != nil:
		return err
	case got == "":
		out.differs(LedgerDiffers, "%s is gone", name)
		return nil
	case got != p.Book:
		out.differs(LedgerDiffers, "%s has changed since it was written", name)
		return nil
	}
	f, err := os.Open(r.lies(name))
	if err != nil {
		return err
	}
	defer f.Close()
	rows := csv.NewReader(bufio.NewReader(f))
	head, err := rows.Read()
	if err != nil {
		return err
	}
	rows.ReuseRecord = true
	var at [5]int
	for i, column := range []string{"record", "frame", "lane", "row", "state"} {
		if at[i] = slices.Index(head, column); at[i] < 0 {
			out.differs(LedgerDiffers, "%s has no column %s", name, column)
			return nil
		}
	}
	var frame []entry
	lines := int64(0)
	for {
		row, err := rows.Read()
		if err != nil && err != io.EOF {
			return err
		}
		var e entry
		if err == nil {
			number := func(i int) int64 {
				n, _ := strconv.ParseInt(row[at[i]], 10, 64)
				return n
			}
			e = entry{number(0), number(1), int(number(2)), int(number(3)), row[at[4]] == "printed", row[at[4]] == "change-over"}
			lines++
		}
		if len(frame) > 0 && (err == io.EOF || e.frame != frame[0].frame) {
			if err := see(frame); err != nil {
				return err
			}
			frame = frame[:0]
		}
		if err == io.EOF {
			break
		}
		frame = append(frame, e)
	}
	if want := p.Frames * int64(len(r.places.Order.Lanes)*r.places.Order.Rows); lines != want {
		out.differs(LedgerDiffers, "%s has %d lines, and its part %d stations", name, lines, want)
	}
	return nil
}

// seen counts records, a bit each.
type seen []uint64

func (s seen) mark(n int64) (again bool) {
	again = s[n>>6]>>(n&63)&1 == 1
	s[n>>6] |= 1 << (n & 63)
	return again
}

// count checks that each record is printed once.
func (r *run) count(list []entry, had seen, out *Report) {
	for _, e := range list {
		switch {
		case !e.printed:
		case e.record < 1 || e.record > r.Records:
			out.differs(LedgerDiffers, "a ledger names record %d of %d", e.record, r.Records)
		case had.mark(e.record):
			out.differs(LabelDoubled, "record %d is printed twice", e.record)
		default:
			out.Labels++
		}
	}
}

// missing finds records that no ledger names.
func (r *run) missing(had seen, out *Report) {
	only := r.Only
	if len(only) == 0 {
		for n := int64(1); n <= r.Records; n++ {
			if had[n>>6]>>(n&63)&1 == 0 {
				out.differs(LabelLost, "record %d is in no ledger", n)
			}
		}
	}
	for _, n := range only {
		if had[n>>6]>>(n&63)&1 == 0 {
			out.differs(LabelLost, "record %d is in no ledger", n)
		}
	}
}

// data compares a CSV file with the values that were printed, cell by cell;
// check digits that were added stand behind the cell.
func (r *run) data(reg *register.Register, path string, out *Report) error {
	got, err := sum(r.lies(path))
	if err != nil {
		return err
	}
	if got == r.Data {
		return nil
	}
	out.differs(DataDiffers, "%s is not the file that was printed: its SHA-256 is %s, and was %s", path, got, r.Data)
	f, err := os.Open(r.lies(path))
	if err != nil {
		return nil // said already
	}
	defer f.Close()
	rows := csv.NewReader(bufio.NewReader(f))
	rows.FieldsPerRecord = -1
	if _, err := rows.Read(); err != nil {
		return nil
	}
	err = reg.Values(r.source(), 1, func(record int64, values []string) (bool, error) {
		row, err := rows.Read()
		if err != nil {
			out.differs(DataDiffers, "record %d was printed, and %s ends or breaks before it", record, path)
			return false, nil
		}
		for i, cell := range row {
			if i < len(values) && !strings.HasPrefix(values[i], cell) {
				out.differs(DataDiffers, "record %d says %q in %s, and %q was printed", record, cell, path, values[i])
				return len(out.Differences) < most, nil
			}
		}
		return true, nil
	})
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}
