package vary_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/barcode"
	"quoin/impose/data"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/press"
	"quoin/impose/vary"
)

const mm = geometry.Millimetre

// layout lays labels of 36 x 48 mm turned as said on the demo's web: 8 lanes and
// as many rows as are asked for.
func layout(t testing.TB, turn geometry.Turn, rows int) *geometry.Layout {
	t.Helper()
	label := geometry.Size{Across: 36 * mm, Around: 48 * mm}
	if turn.Swaps() {
		label = geometry.Size{Across: 48 * mm, Around: 36 * mm}
	}
	l, err := geometry.Plan(geometry.Request{
		Web: geometry.Web{Width: 340 * mm, Edge: 5 * mm}, Label: label,
		Gap: geometry.Size{Across: 3 * mm, Around: 3 * mm}, Bleed: mm,
		Repeat: geometry.Repeat{Max: 980 * mm}, Turns: []geometry.Turn{turn}, Lanes: 8, Rows: rows,
	})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// records opens counted records, or those of a CSV file's text.
func records(t testing.TB, text string, count int64) *data.Records {
	t.Helper()
	d := data.Definition{Count: count, Counters: []data.Counter{{Name: "n", Start: 1, Pad: 7}}}
	if text != "" {
		d.File = filepath.Join(t.TempDir(), "records.csv")
		if err := os.WriteFile(d.File, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	r, err := data.Open(d)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func textField() vary.Field {
	return vary.Field{
		Name: "number", Value: "HL-{n}", At: geometry.Position{Across: 3 * mm, Around: 3 * mm}, Ink: ink.Black,
		Letters: &vary.Letters{Face: vary.Mono, Cap: 2 * mm, Width: 30 * mm},
	}
}

func qrField() vary.Field {
	return vary.Field{
		Name: "code", Value: "https://example.com/q/{n}", At: geometry.Position{Across: 8 * mm, Around: 10 * mm}, Ink: ink.Black,
		Symbol: &vary.Symbol{Kind: barcode.QR, Wish: barcode.Wish{X: 500_000, DPI: 600}},
	}
}

// plan is a run without artwork: eight lanes, two rows, wound twice.
func plan(t testing.TB, count int64, fields ...vary.Field) vary.Request {
	t.Helper()
	return vary.Request{
		Layout: layout(t, geometry.Turn0, 2), Records: records(t, "", count), Fields: fields,
		Route: geometry.Route{Windings: 2}, Void: ink.Black,
	}
}

func prepare(t testing.TB, p vary.Request) *vary.Run {
	t.Helper()
	r, err := vary.Prepare(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// written gives a run's press file and ledger.
func written(t testing.TB, r *vary.Run) (pdf, ledger []byte) {
	t.Helper()
	var file, book bytes.Buffer
	if err := r.WriteFrames(context.Background(), &file, &book, 0, r.Order.Frames(), nil); err != nil {
		t.Fatal(err)
	}
	return file.Bytes(), book.Bytes()
}

func save(t testing.TB, name string, b []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// entry is a line of a ledger.
type entry struct {
	record, frame int64
	lane, row     int
	roll          int64
	state         string
}

func entries(t testing.TB, ledger []byte) []entry {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(ledger)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var list []entry
	for _, row := range rows[1:] {
		var n [5]int64
		for i := range n {
			if row[i] == "" {
				continue
			}
			if n[i], err = strconv.ParseInt(row[i], 10, 64); err != nil {
				t.Fatal(err)
			}
		}
		list = append(list, entry{n[0], n[1], int(n[2]), int(n[3]), n[4], row[5]})
	}
	return list
}

// juice opens the demo's label of 50 x 75 mm.
func juice(t testing.TB) *artwork.Page {
	t.Helper()
	f, err := artwork.Open("../../samples/artwork/orchard-juice.pdf", artwork.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	p, err := f.Page(1)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// withArtwork lays the demo's label on a plan's stations.
func withArtwork(t testing.TB, p vary.Request) vary.Request {
	t.Helper()
	page := juice(t)
	size := page.Size()
	l, err := geometry.Plan(geometry.Request{
		Web: geometry.Web{Width: 340 * mm, Edge: 5 * mm}, Label: size,
		Gap: geometry.Size{Across: 3 * mm, Around: 3 * mm}, Bleed: mm, Repeat: geometry.Repeat{Max: 980 * mm}, Rows: 2,
	})
	if err != nil {
		t.Fatal(err)
	}
	p.Layout = l
	p.Setup = press.Setup{Artworks: []*artwork.Page{page}}
	for _, s := range l.Station {
		p.Items = append(p.Items, draw.Place{Trim: s.Trim, Turn: s.Turn, Clip: draw.Rectangle(s.Clip)})
	}
	return p
}
