package job

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

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
	switch {
	case bytes.HasPrefix(data, []byte{0xd0, 0xcf, 0x11, 0xe0}):
		return refuse("is a workbook of the old kind, or locked with a password", "save it as .xlsx without a password")
	case !bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return refuse("is not a workbook, whatever its name says", "save it as .xlsx, or give it the ending of what it is, such as .csv")
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
	for rows.Next() {
		cells, err := rows.Columns()
		if err != nil {
			return err
		}
		line := len(lines) + 1
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
		lines = append(lines, strings.Join(cells, "\t"))
		size, widest = size+len(lines[line-1]), max(widest, len(cells))
		if line > maxSheetRows || widest > maxColumns || size > maxListBytes {
			return errors.New("it has more rows or columns than any list of orders")
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

// cell returns a cell as a person would write it: days as ISO 8601 has them, shares
// with their sign, numbers in digits. raw is what the file stores.
func (b *sheetReader) cell(raw string, at place) (string, error) {
	name := cellName(at.line, at.col)
	if raw == "" {
		if formula, err := b.file.GetCellFormula(b.name, name); err == nil && formula != "" {
			b.trouble[at] = [2]string{"holds a formula whose value is not stored", "open the workbook in a spreadsheet and save it, so that values are stored"}
		}
		return "", nil
	}
	number, err := strconv.ParseFloat(raw, 64)
	if err != nil {
		return raw, nil
	}
	kind, err := b.file.GetCellType(b.name, name)
	if err != nil {
		return "", err
	}
	switch kind {
	case excelize.CellTypeBool:
		return map[bool]string{true: "TRUE", false: "FALSE"}[number != 0], nil
	case excelize.CellTypeNumber, excelize.CellTypeUnset, excelize.CellTypeDate:
	default:
		return raw, nil // digits that are a text
	}
	format, err := b.format(name)
	if err != nil {
		return "", err
	}
	switch {
	case format == dayFormat && number >= 0 && number < 200_000:
		return sheetDay(int(number), b.from1904).Format(time.DateOnly), nil
	case format == shareFormat:
		return strconv.FormatFloat(math.Round(number*1e9)/1e7, 'f', -1, 64) + "%", nil
	case math.Abs(number) < 1e15 && number == math.Trunc(number):
		digits := strconv.FormatInt(int64(number), 10)
		return strings.Repeat("0", max(0, int(format)-len(digits))) + digits, nil
	case math.Abs(number) >= 1e15:
		return strconv.FormatFloat(number, 'E', 5, 64), nil // rounded by the spreadsheet
	}
	// Four decimals at least, so that no reader takes three for thousands.
	if s := strconv.FormatFloat(number, 'f', 4, 64); strings.TrimRight(s, "0") == strconv.FormatFloat(number, 'f', -1, 64) {
		return s, nil
	}
	return strconv.FormatFloat(number, 'f', -1, 64), nil
}

// cellFormat says how a spreadsheet shows a number: as a day, as a share, or with
// so many digits.
type cellFormat int

const (
	dayFormat   cellFormat = -1
	shareFormat cellFormat = -2
)

func (b *sheetReader) format(cell string) (cellFormat, error) {
	style, err := b.file.GetCellStyle(b.name, cell)
	if err != nil {
		return 0, err
	}
	if known, ok := b.formats[style]; ok {
		return known, nil
	}
	s, err := b.file.GetStyle(style)
	if err != nil {
		return 0, err
	}
	out := cellFormat(0)
	// The built-in formats by their numbers: ECMA-376-1 18.8.30; 27 to 36 and 50 to
	// 58 are days in some languages.
	switch n := s.NumFmt; {
	case s.CustomNumFmt != nil:
		out = customFormat(*s.CustomNumFmt)
	case n >= 14 && n <= 17 || n == 22 || n >= 27 && n <= 31 || n == 36 || n >= 50 && n <= 58:
		out = dayFormat
	case n == 9 || n == 10:
		out = shareFormat
	}
	b.formats[style] = out
	return out, nil
}

var noCode = pattern(`"[^"]*"|\\.|_.|\*.|\[[^\]]*\]`)

// customFormat tells what a format code shows: days have a year or a day of the
// month in them.
func customFormat(code string) cellFormat {
	first, _, _ := strings.Cut(noCode().ReplaceAllString(code, ""), ";")
	first = strings.ToLower(first)
	switch {
	case strings.ContainsAny(first, "yd"):
		return dayFormat
	case strings.Contains(first, "%"):
		return shareFormat
	case first != "" && strings.Trim(first, "0") == "":
		return cellFormat(len(first))
	}
	return 0
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
