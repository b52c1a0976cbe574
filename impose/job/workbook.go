package job

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// A workbook is read as the text of one of its sheets: a line for each row, a tab
// between cells, so that all that is known of tables holds for it too. Formulas
// are not worked out: what the spreadsheet stored with them is read.

// What a workbook may unpack to, and have. A sheet of 20,000 orders takes 20 MB.
const (
	maxUnpacked  = 96 << 20
	maxSheets    = 50
	maxSheetRows = 200_000
)

// sheetText is a sheet as text.
type sheetText struct {
	name    string
	hidden  bool
	text    string
	starts  []int
	trouble map[place][2]string // of cells, by row and column: why one can't be read, and the way out
	rows    map[int]bool        // hidden
	columns []string            // hidden, by their letters
}

// readSheet takes the sheet that lists the records as the reader's text, and
// reports whether there is one.
func (c *collector[T]) readSheet(data []byte) bool {
	refuse := func(text, hint string) bool {
		c.reader.fault(place{}, "", text, hint)
		return false
	}
	if why, hint := otherKind(data); why != "" {
		return refuse(why, hint)
	}
	sheets, err := sheetsOf(data, c.reader.form.Sheet)
	if err != nil {
		return refuse("can't be read as a workbook: "+err.Error(), "open it in a spreadsheet and save it as .xlsx or .csv")
	}
	var lists, others []*sheetText
	for _, s := range sheets {
		c.reader.show(s)
		_, _, ok := c.named(c.rows())
		switch {
		case ok && (!s.hidden || s.name == c.reader.form.Sheet):
			lists = append(lists, s)
		case strings.TrimSpace(s.text) != "":
			others = append(others, s)
		}
	}
	switch {
	case len(sheets) == 0 && c.reader.form.Sheet != "":
		return refuse(fmt.Sprintf("has no sheet %q", c.reader.form.Sheet), "see how the sheet is called in the spreadsheet")
	case len(lists) > 1:
		return refuse(fmt.Sprintf("the sheets %q and %q both list %s", lists[0].name, lists[1].name, c.kind.list), "say which with --sheet, or sheet under orders in the job file")
	case len(lists) == 0 && len(others) == 0:
		return refuse("no sheet holds anything", "")
	case len(lists) == 0:
		c.reader.show(others[0])
		return true
	}
	c.reader.show(lists[0])
	for _, s := range others {
		what := "sheet"
		if s.hidden {
			what = "hidden sheet"
		}
		c.reader.word(place{}, fmt.Sprintf("the %s %q is not read", what, s.name), "")
	}
	for _, col := range lists[0].columns {
		c.reader.word(place{}, "column "+col+" is hidden, and read", "")
	}
	return true
}

var errTooMuch = errors.New("it has more rows or columns than any list of orders")

// show makes a sheet the reader's text.
func (r *reader) show(s *sheetText) { r.text, r.starts, r.sheet, r.shown = s.text, s.starts, true, s }

// sheetsOf reads a workbook's sheets, or the one of a name.
func sheetsOf(data []byte, only string) (out []*sheetText, err error) {
	defer func() {
		if r := recover(); r != nil { // the library is not ours, and files come from anywhere
			err = fmt.Errorf("it is damaged: %v", r)
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true, UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked})
	if err != nil {
		return nil, err
	}
	defer f.Close()
	props, err := f.GetWorkbookProps()
	if err != nil {
		return nil, err
	}
	names := f.GetSheetList()
	if len(names) > maxSheets {
		return nil, fmt.Errorf("it has %d sheets", len(names))
	}
	for _, name := range names {
		if only != "" && name != only {
			continue
		}
		visible, err := f.GetSheetVisible(name)
		if err != nil {
			return nil, err
		}
		b := &sheetReader{file: f, sheetText: &sheetText{name: name, hidden: !visible, trouble: map[place][2]string{}, rows: map[int]bool{}},
			formats: map[int]cellFormat{}, from1904: props.Date1904 != nil && *props.Date1904}
		if err := b.read(); err != nil {
			return nil, fmt.Errorf("sheet %q: %w", name, err)
		}
		out = append(out, b.sheetText)
	}
	return out, nil
}

// sheetReader reads one sheet.
type sheetReader struct {
	*sheetText
	file     *excelize.File
	formats  map[int]cellFormat // by style
	from1904 bool
}

func (b *sheetReader) read() error {
	rows, err := b.file.Rows(b.name)
	if err != nil {
		if errors.As(err, new(excelize.ErrSheetNotExist)) {
			return err
		}
		return nil // a sheet of charts has no rows
	}
	defer rows.Close()
	var lines []string
	size, widest := 0, 0
	for line := 1; rows.Next(); line++ {
		cells, err := rows.Columns()
		if err != nil {
			return err
		}
		if len(cells) == 0 {
			continue // a sheet may have a million rows with lines around them, and nothing in them
		}
		if line > maxSheetRows || len(cells) > maxColumns {
			return errTooMuch
		}
		for i, raw := range cells {
			value, err := b.cell(raw, place{line, i + 1})
			if err != nil {
				return err
			}
			cells[i] = strings.Map(oneLine, value)
		}
		if rows.GetRowOpts().Hidden {
			b.rows[line] = true
		}
		lines = append(lines, make([]string, line-1-len(lines))...)
		lines = append(lines, strings.Join(cells, "\t"))
		if size, widest = size+len(lines[line-1]), max(widest, len(cells)); size > maxListBytes {
			return errTooMuch
		}
	}
	if err := errors.Join(rows.Error(), b.rest(len(lines), widest)); err != nil {
		return err
	}
	for at := range b.trouble { // a merged cell may be the last of its row, which then ends before it
		line := &lines[at.line-1]
		*line += strings.Repeat("\t", max(0, at.col-1-strings.Count(*line, "\t")))
	}
	b.text, b.starts = strings.Join(lines, "\n"), []int{0}
	for i, c := range []byte(b.text) {
		if c == '\n' {
			b.starts = append(b.starts, i+1)
		}
	}
	return nil
}

// oneLine keeps the cells of a row on one line.
func oneLine(c rune) rune {
	if strings.ContainsRune("\t\n\r\v\f\u0085\u2028\u2029", c) {
		return ' '
	}
	return c
}

// rest notes merged cells and hidden columns.
func (b *sheetReader) rest(rows, columns int) error {
	if rows == 0 {
		return nil
	}
	merged, err := b.file.GetMergeCells(b.name, true)
	if err != nil {
		return err
	}
	for _, m := range merged {
		left, top, err := excelize.CellNameToCoordinates(m.GetStartAxis())
		right, bottom, err2 := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err != nil || err2 != nil {
			continue
		}
		for row := top; row <= min(bottom, rows); row++ {
			for col := left; col <= min(right, columns); col++ {
				if row > top || col > left {
					b.trouble[place{row, col}] = [2]string{"is merged into " + m.GetStartAxis(), "part merged cells, and fill each row"}
				}
			}
		}
	}
	for col := 1; col <= columns; col++ {
		letters, _ := excelize.ColumnNumberToName(col)
		if visible, err := b.file.GetColVisible(b.name, letters); err == nil && !visible {
			b.columns = append(b.columns, letters)
		}
	}
	return nil
}

// cellName returns a cell's name: C5.
func cellName(row, col int) string {
	name, err := excelize.CoordinatesToCellName(max(col, 1), max(row, 1))
	if err != nil {
		return fmt.Sprintf("row %d", row)
	}
	return name
}

// cellColumn returns the column of the sheet that a place is in.
func (r *reader) cellColumn(at place) int {
	runes := []rune(r.line(at.line))
	return 1 + strings.Count(string(runes[:min(len(runes), max(at.col-1, 0))]), "\t")
}

// trouble says why the cell at a place can't be read as it stands, and the way out.
func (r *reader) trouble(at place) (why, hint string) {
	if r.shown == nil {
		return "", ""
	}
	t := r.shown.trouble[place{at.line, r.cellColumn(at)}]
	return t[0], t[1]
}

// hiddenRow reports whether the sheet hides a row.
func (r *reader) hiddenRow(line int) bool { return r.shown != nil && r.shown.rows[line] }
