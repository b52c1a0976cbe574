package job

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf16"
)

// asUTF16 writes a text as UTF-16, little end first.
func asUTF16(text string) string {
	var b strings.Builder
	for _, u := range utf16.Encode([]rune(text)) {
		b.WriteByte(byte(u))
		b.WriteByte(byte(u >> 8))
	}
	return b.String()
}

// swapped turns the bytes of UTF-16 round.
func swapped(s string) string {
	b := []byte(s)
	for i := 0; i+1 < len(b); i += 2 {
		b[i], b[i+1] = b[i+1], b[i]
	}
	return string(b)
}

// told reads an order file and writes what came of it: orders as ID*quantity and
// their days, what is left out as @line:column with its text and way out, and
// words as !line.
func told(t *testing.T, form OrderForm, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	list, err := form.ReadList(path)
	if err != nil {
		e, ok := err.(*FileError)
		if !ok {
			return "FAILED " + err.Error()
		}
		list = &OrderList{Bad: e.Faults}
	}
	var out []string
	for _, o := range list.Orders {
		s := fmt.Sprintf("%s*%d", o.ID, o.Quantity)
		if o.Product != "" {
			s += " " + o.Product
		}
		if !o.Due.IsZero() {
			s += " " + o.Due.Format(time.DateOnly)
		}
		if o.Overs != nil {
			s += " " + o.Overs.String()
		}
		if o.DrugLabel {
			s += " drug"
		}
		out = append(out, s)
	}
	for _, f := range list.Bad {
		s := fmt.Sprintf("@%d:%d %s %s", f.Line, f.Col, f.Record, f.Text())
		if f.Hint != "" {
			s += " (" + f.Hint + ")"
		}
		out = append(out, s)
	}
	for _, w := range list.Words {
		s := fmt.Sprintf("!%d %s", w.Line, w.Text())
		if w.Hint != "" {
			s += " (" + w.Hint + ")"
		}
		out = append(out, s)
	}
	return strings.Join(out, "\n")
}

var german = OrderForm{Columns: map[string]string{"order": "Auftrag-Nr.", "quantity": "Menge", "due": "Liefertermin", "product": "Artikel", "overs": "Mehrlieferung", "flags": "Merkmale"}}

// TestOddOrderFiles: order files as sales systems, databases and spreadsheets write them.
// Each is read as a person would, or refused with the place and the way out.
// Invented data; the habits are common practice, no source.
func TestOddOrderFiles(t *testing.T) {
	const latin = "order;product;quantity\nA;M\xfcsli \x80 5;1500\n"
	for name, c := range map[string]struct {
		form OrderForm
		file string // its name; o.csv
		text string
		want []string // of the lines that told gives, in their order; one that ends in … says how it begins
	}{
		"Windows-1252 is guessed and said": {text: latin, want: []string{"A*1500 Müsli € 5", "!1 the file is not in UTF-8, and is read as windows-1252…"}},
		"Windows-1252 is said":             {form: OrderForm{Encoding: "windows-1252"}, text: latin, want: []string{"A*1500 Müsli € 5"}},
		"Windows-1250 is said":             {form: OrderForm{Encoding: "windows-1250"}, text: "order;product;quantity\nA;\x9aunka;1500\n", want: []string{"A*1500 šunka"}},
		"UTF-16 with its mark":             {text: "\xff\xfe" + asUTF16("order\tproduct\tquantity\r\nA\tMüsli\t1500\r\n"), want: []string{"A*1500 Müsli"}},
		"UTF-16 without its mark":          {text: asUTF16("order\tproduct\tquantity\nA\tMüsli\t1500\n"), want: []string{"A*1500 Müsli", "!1 the file is not in UTF-8, and is read as UTF-16…"}},
		"UTF-16 cut in a digit":            {text: "\xff\xfe" + strings.TrimSuffix(asUTF16("order\tquantity\nA\t5\nB\t1500"), "\x00"), want: []string{"A*5", `@3:3 B quantity: "150�" is not a whole number…`}},
		"UTF-16, big end first":            {text: swapped(asUTF16("order\tproduct\tquantity\nA\tMüsli\t1500\n")), want: []string{"A*1500 Müsli", "!1 the file is not in UTF-8, and is read as UTF-16…"}},

		"dates with points":  {text: "order;quantity;due\nA;1;02.03.2026\nB;1;2.3.2026\nC;1;31.12.2026 00:00:00\n", want: []string{"A*1 2026-03-02", "B*1 2026-03-02", "C*1 2026-12-31"}},
		"dates with words":   {text: "order,quantity,due\nA,1,02-Mar-2026\nB,1,\"Mar 2, 2026\"\nC,1,20260302\nD,1,2026/3/2\nE,1,2026-03-02T00:00:00Z\n", want: []string{"A*1 2026-03-02", "B*1 2026-03-02", "C*1 2026-03-02", "D*1 2026-03-02", "E*1 2026-03-02"}},
		"dates in two ways":  {text: "order,quantity,due\nA,1,3/2/2026\nB,1,3/3/2026\nC,1,25/3/2026\n", want: []string{"B*1 2026-03-03", "C*1 2026-03-25", `@2:5 A due: "3/2/2026" may be 2026-02-03 or 2026-03-02 (say the form with --dates d/m/y or --dates m/d/y…`}},
		"dates, day first":   {form: OrderForm{Dates: DayFirst}, text: "order,quantity,due\nA,1,3/2/2026\nB,1,3-2-26\n", want: []string{"A*1 2026-02-03", "B*1 2026-02-03"}},
		"dates, month first": {form: OrderForm{Dates: MonthFirst}, text: "order,quantity,due\nA,1,3/2/2026\nB,1,25/3/2026\nC,1,02.03.2026\n", want: []string{"A*1 2026-03-02", "C*1 2026-03-02", `@3:5 B due: "25/3/2026" is not a day of the calendar…`}},
		"dates that are none": {text: "order,quantity,due\nA,1,46083\nB,1,31.02.2026\nC,1,02.03.26\nD,1,2026-03-01T23:00:00Z\n", want: []string{
			`@2:5 A due: "46083" is the number of a day in a spreadsheet, 2026-03-02 where days count from 1900…`, `@3:5 B due: "31.02.2026" is not a day of the calendar…`,
			`@4:5 C due: "02.03.26" has a year of two digits…`, `@5:5 D due: "2026-03-01T23:00:00Z" is a time in another zone…`}},

		"1.500,00":            {text: "order;quantity\nA;1.500,00\nB;12.000\nC;800,0\n", want: []string{"A*1500", "B*12000", "C*800"}},
		"1,500.00":            {text: "order;quantity\nA;1,500.00\nB;12,000\nC;800.0\n", want: []string{"A*1500", "B*12000", "C*800"}},
		"1 500 and 1'500":     {text: "order;quantity\nA;1 500\nB;1'500\nC;1\u202f500,00\nD;1\u00a0500\n", want: []string{"A*1500", "B*1500", "C*1500", "D*1500"}},
		"1.250.000 by itself": {text: "order,quantity\nA,1.250.000\n", want: []string{"A*1250000"}},
		"SAP's three decimals": {text: "order;quantity\nA;1.500,000 ST\nB;500,000 ST\n", want: []string{"A*1500",
			`@3:3 B quantity: "500,000 ST" is not a whole number…`}},
		"three decimals, said":    {form: OrderForm{DecimalMark: DecimalComma}, text: "order;quantity\nA;1.500,000 ST\nB;500,000 ST\nC;500,5\n", want: []string{"A*1500", "B*500", `@4:3 C quantity: "500,5" is not a whole number…`}},
		"thousands or decimals":   {text: "order;quantity\nA;1.500\nB;2,500\n", want: []string{`@2:3 A quantity: "1.500" may be 1500 or a number with decimals (write digits only, as in 1500, or say --decimal-mark comma if so)`, `@3:3 B quantity: "2,500" may be 2500 or a number with decimals (write digits only, as in 2500, or say --decimal-mark point if so)`}},
		"units":                   {text: "order;quantity;overs\nA;1500 Stk;5 %\nB;1.500,00 pcs.;2,5%\nC;2 Tsd;\nD;5 rolls;\n", want: []string{"A*1500 5%", "B*1500 2.5%", `@4:3 C quantity: "2 Tsd" is not a whole number…`, `@5:3 D quantity: "5 rolls" is not a whole number…`}},
		"a number in short":       {text: "order,quantity\n1.23457E+12,5\n", want: []string{`@2:1  order: "1.23457E+12" is a number that a spreadsheet has rounded (export the column as text)`}},
		"zeros kept by a formula": {text: "order,quantity\n=\"000450\",5\n\"=\"\"000451\"\"\",6\n", want: []string{"000450*5", "000451*6"}},

		"foreign names": {form: german, text: "Auftrag-Nr.;Kunde;Artikel;Menge;Liefertermin;Mehrlieferung;Merkmale\n4711;Hof;Saft;1.500,00;02.03.2026;5%;drug-label\n", want: []string{"4711*1500 Saft 2026-03-02 5% drug", `!1 the column "Kunde" is ignored`}},
		"foreign names, unsaid": {text: "Auftrag;Menge\n4711;5\n", want: []string{
			`@1:1  the column order is missing (if the file calls it otherwise, say so in the job file: orders: {columns: {order: NAME}}; its columns are "Auftrag", "Menge")`,
			`@1:1  the column quantity is missing…`, "@1:1…", "@1:9…"}},
		"a name that is not there": {form: german, text: "Auftrag-Nr.;Menge;Artikel;Mehrlieferung;Merkmale\n4711;5;;;\n", want: []string{`@1:1  the column Liefertermin is missing (the file's columns are "Auftrag-Nr.", "Menge", "Artikel", "Mehrlieferung", "Merkmale")`}},
		"titles above the names":   {text: "Order book;;\nprinted 01.03.2026;;\n\n;Order;Due\norder;quantity;due\nA;5;02.03.2026\n", want: []string{"A*5 2026-03-02", "!5 3 lines above the columns' names: not read"}},
		"names said by their line": {form: OrderForm{Header: 2}, text: "order,quantity\norder,quantity,product\nA,5,x\n", want: []string{"A*5 x"}},
		"names again on each page": {text: "order;quantity\nA;5\norder;quantity\nB;6\n", want: []string{"A*5", "B*6", "!3 the names of the columns stand here again and are passed over"}},
		"a separator that is said": {text: "sep=;\norder;quantity\nA;5\n", want: []string{"A*5"}},
		"bars":                     {text: "order|quantity|product\nA|5|red, dry; small\n", want: []string{"A*5 red, dry; small"}},
		"tabs in .txt":             {file: "o.txt", text: "order\tquantity\nA\t5\n", want: []string{"A*5"}},
		"titles of other signs":    {text: "Order book; March; 2026\norder,quantity\nA,5\n", want: []string{"A*5", "!2 1 line above the columns' names: not read"}},
		"separators behind":        {text: "order;quantity;;;\nA;5;;;\n;;;;\nB;6;;x;\n", want: []string{"A*5", `@4:6 B "x" stands in a column without a name (name the column in the header, or empty the cell)`}},
		"cells of several lines":   {text: "order,product,quantity\nA,\"Juice\nbig; red\",5\n", want: []string{"A*5 Juice\nbig; red"}},
		"cells that say nothing":   {text: "order;quantity;overs;due\nA;5;-;NULL\n;0;;\n-;0,00;;\n", want: []string{"A*5"}},
		"errors of a spreadsheet":  {text: "order,quantity,product\nA,#N/A,x\nB,5,#REF!\n", want: []string{"@2:3 A quantity: holds the spreadsheet's error #N/A…", "@3:5 B product: holds the spreadsheet's error #REF!…"}},

		"sums": {text: "order;product;quantity\nA;x;5\nB;y;6\nSUMME;;11\n", want: []string{"A*5 x", "B*6 y", "!4 a sum of 11, not an order: passed over"}},
		"sums in other words": {text: "order;product;quantity\nA;x;5\nB;y;6\nGesamt: ;;11\n;Total;11\nGrand Total;;11\nRazem;2;11\n", want: []string{"A*5 x", "B*6 y",
			"!4 a sum of 11…", "!5 a sum of 11…", "!6 a sum of 11…", "!7 a sum of 11…"}},
		"a sum without a word":             {text: "order;product;quantity\nA;x;5\nB;y;6\n;;11\n", want: []string{"A*5 x", "B*6 y", "!4 a sum of 11…"}},
		"a sum that differs":               {text: "order;product;quantity\nA;x;5\nB;y;6\nTotal;;21\n", want: []string{"A*5 x", "B*6 y", "!4 a sum of 21, not an order: passed over, though the rows above it order 11…"}},
		"an order called so":               {text: "order;product;artwork;quantity\nTotal 7;x;a.pdf;5\n", want: []string{"Total 7*5 x"}},
		"a number without a name":          {text: "order;product;quantity\nA;x;5\nB;y;6\n;;12\n", want: []string{"A*5 x", "B*6 y", "@4:1  order: is missing (write it into its column)"}},
		"a code page that nobody can tell": {text: "order;product;quantity\nA;M\x81sli;5\nB;y;6\n", want: []string{"B*6 y", "@2:4 A is not text in UTF-8 (save the file as text in UTF-8, or say with --encoding what it is in)"}},
	} {
		file := c.file
		if file == "" {
			file = "o.csv"
		}
		got := strings.Split(told(t, c.form, file, c.text), "\n")
		if name == "cells of several lines" {
			got = []string{strings.Join(got, "\n")}
		}
		for i := range max(len(got), len(c.want)) {
			g, w := "", ""
			if i < len(got) {
				g = got[i]
			}
			if i < len(c.want) {
				w = c.want[i]
			}
			if begin, ok := strings.CutSuffix(w, "…"); g != w && !(ok && strings.HasPrefix(g, begin)) {
				t.Errorf("%s: line %d is\n%s\nwant\n%s", name, i+1, g, w)
			}
		}
	}
}
