package job

import (
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

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
	number = shown(number)
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

// shown rounds a number to the fifteen digits that spreadsheets show: a tenth more
// than 2,400 is stored as 2640.0000000000005.
func shown(number float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(number, 'e', 14, 64), 64)
	if err != nil {
		return number
	}
	return rounded
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
		s = &excelize.Style{} // a workbook may have no styles, and numbers are as they are
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
