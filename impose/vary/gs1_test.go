package vary_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/data"
	"quoin/impose/gs1"
	"quoin/impose/ink"
	"quoin/impose/vary"
	"quoin/impose/witness"
)

// table opens the records of a CSV file's text and nothing else.
func table(t testing.TB, text string) *data.Records {
	t.Helper()
	path := filepath.Join(t.TempDir(), "codes.csv")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	r, err := data.Open(data.Definition{File: path})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// at makes a symbol field on a label of its own corner.
func at(kind barcode.Kind, across, down int, f vary.Field) vary.Field {
	f.Name, f.Ink = string(kind), ink.Black
	f.At = geometry.Position{Across: geometry.Length(across) * mm, Around: geometry.Length(down) * mm}
	if kind != "" {
		f.Symbol = &vary.Symbol{Kind: kind, Wish: barcode.Wish{X: mm / 2, Height: 5 * mm, DPI: 600, Plain: true}}
	}
	if kind == barcode.EAN8 {
		f.Symbol.X = 330_000
	}
	return f
}

// A cell that looks like an identifier stays one value, typed or written as
// text: a scanner reads the serial number "A(10)B", FNC1 and no lot.
func TestACellIsNoIdentifier(t *testing.T) {
	witness.Need(t, "zbarimg")
	for name, f := range map[string]vary.Field{
		"typed": {Elements: []gs1.Element{{AI: "01", Value: "{gtin}"}, {AI: "21", Value: "{serial}"}}},
		"text":  {Value: "(01){gtin}(21){serial}"},
	} {
		p := plan(t, 1, at(barcode.GS1QR, 5, 5, f))
		p.Records = table(t, "gtin,serial\n09501101530003,A(10)B\n")
		r := prepare(t, p)
		pdf, ledger := written(t, r)
		img := witness.MuPDF(t, save(t, "run.pdf", pdf), 1, 300)
		for _, e := range entries(t, ledger) {
			if e.state != "printed" {
				continue
			}
			got := witness.Scan(t, crop(img, station(t, p.Layout, e.lane, e.row), 300))
			if len(got) != 1 || !strings.HasSuffix(got[0], "010950110153000321A(10)B") {
				t.Errorf("%s: read as %q", name, got)
			}
		}
	}
}

func TestIdentifiersOverTheWholeLabel(t *testing.T) {
	gtin, other := "9501101530003", "96385074"
	serial := []gs1.Element{{AI: "21", Value: "{n}"}}
	for _, c := range []struct {
		want   string
		fields []vary.Field
	}{
		{"(21): it stands alone", []vary.Field{at(barcode.GS1DataMatrix, 2, 2, vary.Field{Elements: serial})}},
		{"", []vary.Field{at(barcode.GS1DataMatrix, 2, 2, vary.Field{Elements: serial}), at(barcode.EAN8, 2, 20, vary.Field{Value: other})}},
		{"", []vary.Field{at(barcode.GS1DataMatrix, 2, 2, vary.Field{Elements: append(serial, gs1.Element{AI: "01", Value: "0" + gtin})})}},
		{`its (01) is "00000096385074", and another symbol of the label says "09501101530003"`, []vary.Field{
			at(barcode.GS1DataMatrix, 2, 2, vary.Field{Elements: append(serial, gs1.Element{AI: "01", Value: "0" + gtin})}), at(barcode.EAN8, 2, 20, vary.Field{Value: other}),
		}},
		{"(01): the identifier is there twice", []vary.Field{at(barcode.GS1DataMatrix, 2, 2, vary.Field{Elements: []gs1.Element{{AI: "01", Value: "0" + gtin}, {AI: "01", Value: "0" + gtin}}})}},
		{"(17): \"260231\" is no day", []vary.Field{at(barcode.GS1DataMatrix, 2, 2, vary.Field{Elements: []gs1.Element{{AI: "01", Value: "0" + gtin}, {AI: "17", Value: "260231"}}})}},
		{"(4300)", []vary.Field{at(barcode.GS1DataMatrix, 2, 2, vary.Field{Elements: []gs1.Element{{AI: "00", Value: "095011015300000014"}, {AI: "4300", Value: "Hollow|Lane"}}})}},
		{"", []vary.Field{at(barcode.DataBarStacked, 2, 2, vary.Field{Elements: []gs1.Element{{AI: "01", Value: "0" + gtin}}})}},
		{"check digit", []vary.Field{at(barcode.DataBarStacked, 2, 2, vary.Field{Elements: []gs1.Element{{AI: "01", Value: "09501101530004"}}})}},
		{"holds no GS1 elements", []vary.Field{at(barcode.ITF14, 2, 2, vary.Field{Elements: []gs1.Element{{AI: "01", Value: "0" + gtin}, {AI: "10", Value: "A"}}})}},
		{"holds no GS1 elements", []vary.Field{at(barcode.QR, 2, 2, vary.Field{Elements: serial})}},
		{"holds no Digital Link", []vary.Field{at(barcode.GS1QR, 2, 2, vary.Field{Elements: serial, Link: "https://example.com"})}},
	} {
		_, err := vary.Prepare(t.Context(), plan(t, 3, c.fields...))
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

// The address is that of GS1's own example of a serialised item: key and
// qualifiers as the path in the order of the dictionary, the date behind the
// question mark (GS1 Digital Link Standard: URI Syntax, 4; from memory).
func TestDigitalLinkOnALabel(t *testing.T) {
	witness.Need(t, "zbarimg")
	p := plan(t, 1, at(barcode.QR, 2, 2, vary.Field{Link: "https://example.com", Elements: []gs1.Element{
		{AI: "17", Value: "261231"}, {AI: "21", Value: "{n}"}, {AI: "10", Value: "A/1"}, {AI: "01", Value: "09501101530003"},
	}}))
	pdf, _ := written(t, prepare(t, p))
	img := witness.MuPDF(t, save(t, "run.pdf", pdf), 1, 300)
	got := witness.Scan(t, img)
	if want := "QR-Code:https://example.com/01/09501101530003/10/A%2F1/21/0000001?17=261231"; len(got) != 1 || got[0] != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A serial that repeats names both places, and values that may repeat can be
// named.
func TestCodesAreUnique(t *testing.T) {
	twice := "gtin,serial\n09501101530003,A1\n09501101530003,A2\n09501101530003,A1\n"
	field := func(value string) vary.Field { f := textField(); f.Value = value; return f }
	typed := at(barcode.GS1DataMatrix, 8, 10, vary.Field{Elements: []gs1.Element{{AI: "01", Value: "{gtin}"}, {AI: "21", Value: "{serial}"}}})
	for _, c := range []struct {
		text, want string
		unique     []string
		fields     []vary.Field
	}{
		{twice, `codes.csv:4: record 3: "A1" is the code of record 1 in line 2 too`, nil, []vary.Field{field("{serial}")}},
		{twice, `record 3: "(01)09501101530003(21)A1" is the code of record 1 in line 2`, nil, []vary.Field{typed, field("{serial}")}},
		{twice, "", []string{}, []vary.Field{field("{serial}")}},
		{twice, `record 2: "09501101530003" is the code of record 1`, []string{"gtin"}, []vary.Field{field("{serial}")}},
		{twice, "asks for {lot}", []string{"lot"}, []vary.Field{field("{serial}")}},
		{"a,b\n1,12\n11,2\n", `"112" is the code of record 1`, nil, []vary.Field{field("{a}{b}")}},
		{"a,b\n1,12\n11,2\n", "", []string{"a", "b"}, []vary.Field{field("{a}{b}")}},
	} {
		p := plan(t, 1, c.fields...)
		p.Records, p.Unique = table(t, c.text), c.unique
		_, err := vary.Prepare(t.Context(), p)
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

// A label's dots are the same at every station, so that a reprint equals the
// first print: the field's places, less those of their station's nearest pixel,
// don't differ.
func TestLabelsHaveTheSameDots(t *testing.T) {
	p := plan(t, 16, textField(), qrField())
	p.Device = [2]int{1600, 800}
	for i := range p.Fields {
		if p.Fields[i].Symbol != nil {
			p.Fields[i].Symbol.DPI, p.Fields[i].Symbol.Around = 1600, 800
		}
	}
	seen := map[string]int{}
	for _, offset := range vary.Offsets(t, prepare(t, p)) {
		seen[fmt.Sprint(offset)]++
	}
	if len(seen) != 1 {
		t.Errorf("the 16 stations have %d kinds of labels: %v", len(seen), seen)
	}
}
