package vary

import (
	"bufio"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"

	"quoin/impose/say"
)

// ReadNumbers reads which records to print again: a number or a range as 4-6 on
// each line, or lines of a ledger with its head, where lines without a record
// are passed over. They come back in rising order. A record that is named twice
// is refused, because it would be printed twice.
func ReadNumbers(path string, count int64) ([]int64, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	fault := func(line int, way, format string, args ...any) error {
		at := path
		if line > 0 {
			at = fmt.Sprintf("%s: line %d", path, line)
		}
		return say.Refuse(say.BadFile, way, "%s: %s", at, fmt.Sprintf(format, args...))
	}
	const form = "write a record's number, or a range as 4-6, on each line, or give lines of a ledger with its first line"
	seen := map[int64]bool{}
	column, headed, comma := 0, false, ","
	lines := bufio.NewScanner(f)
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(strings.TrimPrefix(lines.Text(), "\ufeff"))
		if n == 1 && strings.Contains(line, ";") {
			comma = ";" // a spreadsheet may have saved the ledger so
		}
		cells := strings.Split(line, comma)
		if i := slices.IndexFunc(cells, func(c string) bool { return strings.TrimSpace(c) == "record" }); n == 1 && i >= 0 {
			column, headed = i, true
			continue
		}
		if line == "" || headed && column < len(cells) && strings.TrimSpace(cells[column]) == "" {
			continue
		}
		if column >= len(cells) || !headed && len(cells) > 1 {
			return nil, fault(n, form, "%q names no record", line)
		}
		from, to, ok := span(strings.TrimSpace(cells[column]))
		if !ok {
			return nil, fault(n, form, "%q names no record", cells[column])
		}
		if to > count || from < 1 {
			return nil, fault(n, fmt.Sprintf("records are numbered from 1 to %d", count), "there is no record %d among %d", to, count)
		}
		for r := from; r <= to; r++ {
			if seen[r] {
				return nil, fault(n, "name each record once: nothing is printed twice", "record %d is asked for twice", r)
			}
			seen[r] = true
		}
	}
	if err := lines.Err(); err != nil {
		return nil, err
	}
	if len(seen) == 0 {
		return nil, fault(0, form, "names no records")
	}
	list := make([]int64, 0, len(seen))
	for r := range seen {
		list = append(list, r)
	}
	slices.Sort(list)
	return list, nil
}

// span reads a number or a range.
func span(text string) (from, to int64, ok bool) {
	a, b, ranged := strings.Cut(text, "-")
	from, err := strconv.ParseInt(strings.TrimSpace(a), 10, 64)
	if err != nil {
		return 0, 0, false
	}
	if !ranged {
		return from, from, true
	}
	to, err = strconv.ParseInt(strings.TrimSpace(b), 10, 64)
	return from, to, err == nil && to >= from
}
