package job

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// book makes a workbook.
func book(t testing.TB, fill func(*excelize.File)) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func rowsOf(f *excelize.File, sheet string, rows ...[]any) {
	for i, row := range rows {
		f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &row)
	}
}

func styled(f *excelize.File, cell string, number int, custom string) {
	s := &excelize.Style{NumFmt: number}
	if custom != "" {
		s.CustomNumFmt = &custom
	}
	id, _ := f.NewStyle(s)
	f.SetCellStyle("Sheet1", cell, cell, id)
}

// TestWorkbooks reads workbooks whose cells hold what spreadsheets store: days as
// numbers, shares as fractions, numbers with zeros in front, values of formulas.
func TestWorkbooks(t *testing.T) {
	head := []any{"order", "quantity", "due", "overs", "product"}
	for name, c := range map[string]struct {
		form OrderForm
		text string
		want string // each line's beginning
	}{
		"plain": {text: book(t, func(f *excelize.File) {
			rowsOf(f, "Sheet1", head, []any{450, 1500, 46083, 0.05, "Müsli\nbig"}, []any{"0451", "1.500,00", "02.03.2026", "2,5%", ""})
			styled(f, "A2", 0, "000000")
			styled(f, "C2", 14, "")
			styled(f, "D2", 9, "")
		}), want: "000450*1500 Müsli big 2026-03-02 5%\n0451*1500 2026-03-02 2.5%"},
		"days from 1904": {text: book(t, func(f *excelize.File) {
			yes := true
			f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes})
			rowsOf(f, "Sheet1", head, []any{"A", 1500, 44621})
			styled(f, "C2", 0, `[$-407]dd/\ mmm\ yyyy;@`)
		}), want: "A*1500 2026-03-02"},
		"formulas": {text: book(t, func(f *excelize.File) {
			rowsOf(f, "Sheet1", head, []any{"A", 1500}, []any{"B"})
			f.SetCellFormula("Sheet1", "B2", "1000+500") // keeps its value
			f.SetCellFormula("Sheet1", "B3", "2*3")      // has none
		}), want: "A*1500\n@3:2 B cell B3: quantity: holds a formula whose value is not stored (open the workbook"},
		"hidden rows and columns": {text: book(t, func(f *excelize.File) {
			rowsOf(f, "Sheet1", head, []any{"A", 1500}, []any{"B", 6})
			f.SetRowVisible("Sheet1", 3, false)
			f.SetColVisible("Sheet1", "B", false)
		}), want: "A*1500\n@3:1 B cell A3: the row is hidden, and not taken (show it, or delete it)\n!0 column B is hidden, and read"},
		"merged cells": {text: book(t, func(f *excelize.File) {
			rowsOf(f, "Sheet1", []any{"Orders of the week"}, []any{}, head, []any{"A", 1500, "2026-03-02"}, []any{"B", 6})
			f.MergeCell("Sheet1", "A1", "E1")
			f.MergeCell("Sheet1", "C4", "C5")
		}), want: "A*1500 2026-03-02\n@5:3 B cell C5: due: is merged into C4 (part merged cells\n!3 cell A3: 1 line above"},
		"fractions": {text: book(t, func(f *excelize.File) {
			rowsOf(f, "Sheet1", head, []any{"A", 1.5, "", 0.05}, []any{"B", 5.125}, []any{"C", 12, 46083}, []any{123456789012345678., 5}, []any{"E", true})
		}), want: `@2:2 A cell B2: quantity: "1.5000" is not a whole number` + "\n" + `@2:4 A cell D2: overs: "0.0500" is not a percentage` + "\n" + `@3:2 B cell B3: quantity: "5.1250" is not a whole number` +
			"\n" + `@4:3 C cell C4: due: "46083" is the number of a day` + "\n" + `@5:1  cell A5: order: "1.23457E+17" is a number that a spreadsheet has rounded` + "\n" + `@6:2 E cell B6: quantity: "TRUE" is not`},
		"two sheets": {text: book(t, func(f *excelize.File) {
			f.NewSheet("March")
			rowsOf(f, "Sheet1", head, []any{"A", 1500})
			rowsOf(f, "March", head, []any{"B", 6})
		}), want: `@0:0  the sheets "Sheet1" and "March" both list orders (say which with --sheet`},
		"a sheet that is said": {form: OrderForm{Sheet: "March"}, text: book(t, func(f *excelize.File) {
			f.NewSheet("March")
			rowsOf(f, "Sheet1", head, []any{"A", 1500})
			rowsOf(f, "March", head, []any{"B", 6})
		}), want: "B*6"},
		"a sheet that isn't there": {form: OrderForm{Sheet: "April"}, text: book(t, func(f *excelize.File) { rowsOf(f, "Sheet1", head) }), want: `@0:0  has no sheet "April"`},
		"hidden sheets": {text: book(t, func(f *excelize.File) {
			f.NewSheet("Old")
			f.NewSheet("Notes")
			rowsOf(f, "Sheet1", head, []any{"A", 1500}, []any{}, []any{"SUMME", 1500})
			rowsOf(f, "Old", head, []any{"B", 6})
			rowsOf(f, "Notes", []any{"call Anna"})
			f.SetSheetVisible("Old", false)
		}), want: "A*1500\n!0 the hidden sheet \"Old\" is not read\n!0 the sheet \"Notes\" is not read\n!4 cell A4: a sum of 1,500, not an order"},
		"an empty book":     {text: book(t, func(*excelize.File) {}), want: "@0:0  no sheet holds anything"},
		"no workbook":       {text: "<table><tr><td>order</td></tr></table>", want: "@0:0  is not a workbook, whatever its name says (save it as .xlsx"},
		"half of one":       {text: book(t, func(f *excelize.File) { rowsOf(f, "Sheet1", head) })[:3000], want: "@0:0  can't be read as a workbook: "},
		"a zip of no sheet": {text: zipped(t, "hello.txt", "hello"), want: "@0:0  "},
		"a bomb":            {text: zipped(t, "xl/worksheets/sheet1.xml", strings.Repeat("<row/>", 17<<20)), want: "@0:0  can't be read as a workbook: "},
	} {
		got := strings.Split(told(t, c.form, "o.xlsx", c.text), "\n")
		for i, w := range strings.Split(c.want, "\n") {
			if i >= len(got) || !strings.HasPrefix(got[i], w) {
				t.Errorf("%s: line %d of\n%s\nwant\n%s", name, i+1, strings.Join(got, "\n"), w)
			}
		}
	}
}

func zipped(t *testing.T, name, text string) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	w.Write([]byte(text))
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
