package vary_test

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"os"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/ink"
	"quoin/impose/say"
	"quoin/impose/vary"
	"quoin/impose/witness"
)

// A frame of 72 labels, of each turn in the long run, is rendered and read
// station by station: each QR Code must say the number of the record that the
// ledger names for it.
func TestEveryStationSaysItsRecord(t *testing.T) {
	witness.Need(t, "zbarimg")
	const dpi = 200
	turns := []geometry.Turn{geometry.Turn0, geometry.Turn90, geometry.Turn180, geometry.Turn270}
	if testing.Short() {
		turns = turns[3:]
	}
	for _, turn := range turns {
		p := plan(t, 139, textField(), qrField())
		p.Layout = layout(t, turn, 9)
		if turn.Swaps() {
			p.Layout = lanes(t, 6, 12)
		}
		p.Route.Windings = 1 + int(turn)%2
		r := prepare(t, p)
		if n := p.Layout.Labels(); n != 72 {
			t.Fatalf("%d labels on a frame", n)
		}
		pdf, ledger := written(t, r)
		path := save(t, "run.pdf", pdf)
		if keep := os.Getenv("KEEP"); keep != "" {
			os.WriteFile(keep, pdf, 0o600)
		}
		witness.QPDFCheck(t, path)
		frame := 1 + int(first(r.Order.SpareFrames())) // the one with gaps, and the more telling
		img := witness.MuPDF(t, path, frame, dpi)
		read, want := 0, 139-72
		if testing.Short() {
			want = want / 8
		}
		var labels []image.Image
		var of []entry
		for i, e := range entries(t, ledger) {
			if int(e.frame) != frame || testing.Short() && i%8 > 0 {
				continue
			}
			labels, of = append(labels, crop(img, station(t, p.Layout, e.lane, e.row), dpi)), append(of, e)
		}
		for i, got := range witness.ScanAll(t, labels) {
			e := of[i]
			code := []string{fmt.Sprintf("QR-Code:https://example.com/q/%07d", e.record)}
			if e.state == "blank" {
				code = nil
			} else {
				read++
			}
			if !slices.Equal(got, code) {
				t.Fatalf("turn %s, lane %d, row %d is read as %q, want %q", turn, e.lane, e.row, got, code)
			}
		}
		if read < want {
			t.Errorf("turn %s: only %d labels were read of %d", turn, read, want)
		}
	}
}

// lanes lays labels of 36 x 48 mm turned by a quarter.
func lanes(t testing.TB, across, rows int) *geometry.Layout {
	t.Helper()
	l, err := geometry.Plan(geometry.Request{
		Web: geometry.Web{Width: 340 * mm, Edge: 5 * mm}, Label: geometry.Size{Across: 36 * mm, Around: 48 * mm},
		Gap: geometry.Size{Across: 3 * mm, Around: 3 * mm}, Repeat: geometry.Repeat{Max: 980 * mm},
		Turns: []geometry.Turn{geometry.Turn270}, Lanes: across, Rows: rows,
	})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func station(t testing.TB, l *geometry.Layout, lane, row int) geometry.Box {
	t.Helper()
	for _, s := range l.Station {
		if s.Lane == lane && s.Row == row {
			return s.Trim
		}
	}
	t.Fatalf("no station in lane %d, row %d", lane, row)
	return geometry.Box{}
}

// crop cuts a box out of a rendered frame.
func crop(img image.Image, b geometry.Box, dpi int) image.Image {
	px := func(l geometry.Length) int { return int(l * geometry.Length(dpi) / geometry.Inch) }
	r := image.Rect(px(b.Min.Across), px(b.Min.Around), px(b.Max.Across), px(b.Max.Around))
	out := image.NewRGBA(image.Rect(0, 0, r.Dx(), r.Dy()))
	draw.Draw(out, out.Bounds(), img, r.Min, draw.Src)
	return out
}

// The press file is cut anywhere and its parts say the same as the whole.
func TestSameInputSameBytes(t *testing.T) {
	a, la := written(t, prepare(t, plan(t, 500, textField(), qrField())))
	b, lb := written(t, prepare(t, plan(t, 500, textField(), qrField())))
	if !bytes.Equal(a, b) || !bytes.Equal(la, lb) {
		t.Error("the same records gave other bytes")
	}
}

// Text is fitted as the field says: worked by hand, "HL-0000001" in Go Mono is
// ten advances of 1229 units with capitals of 1480: 10 x 1229 / 1480 x 2 mm =
// 16.608 mm.
func TestTextIsFitted(t *testing.T) {
	for _, c := range []struct {
		name  string
		set   func(*vary.Letters)
		fault string
	}{
		{"just fits", func(l *vary.Letters) { l.Width = 16_609_000 }, ""},
		{"too long", func(l *vary.Letters) { l.Width = 16_600_000 }, `"HL-0000001" is 16.608 mm long, and the room is 16.6 mm`},
		{"shrunk", func(l *vary.Letters) { l.Width, l.Fit, l.Least = 12*mm, vary.Shrink, 1_400_000 }, ""},
		{"shrunk too far", func(l *vary.Letters) { l.Width, l.Fit, l.Least = 12*mm, vary.Shrink, 1_500_000 }, "too much to shrink it to capitals of 1.5 mm"},
		{"squeezed", func(l *vary.Letters) { l.Width, l.Fit = 12*mm, vary.Squeeze }, ""},
		{"squeezed too far", func(l *vary.Letters) { l.Width, l.Fit = 11*mm, vary.Squeeze }, "too much to squeeze"},
	} {
		f := textField()
		c.set(f.Letters)
		_, err := vary.Prepare(t.Context(), plan(t, 10, f))
		if c.fault == "" && err != nil || c.fault != "" && (err == nil || !strings.Contains(err.Error(), c.fault)) {
			t.Errorf("%s: %v, want %q", c.name, err, c.fault)
		}
	}
}

func TestFieldsThatCannotBe(t *testing.T) {
	change := func(f vary.Field, do func(*vary.Field)) vary.Field { do(&f); return f }
	for want, fields := range map[string][]vary.Field{
		"beyond the label":  {change(textField(), func(f *vary.Field) { f.At.Across = 7 * mm })},
		"lies on the field": {textField(), change(qrField(), func(f *vary.Field) { f.At = geometry.Position{Across: 3 * mm, Around: 4 * mm} })},
		"no value has that": {change(textField(), func(f *vary.Field) { f.Value = "{lot}" })},
		"it has no ink":     {change(textField(), func(f *vary.Field) { f.Ink = "" })},
		"neither text nor":  {change(textField(), func(f *vary.Field) { f.Letters = nil })},
		`no font "script"`:  {change(textField(), func(f *vary.Field) { f.Letters = &vary.Letters{Face: "script", Cap: mm, Width: 9 * mm} })},
		"without a glyph":   {change(textField(), func(f *vary.Field) { f.Value = "語{n}" })},
		"takes 13 digits":   {change(qrField(), func(f *vary.Field) { f.Symbol = &vary.Symbol{Kind: barcode.EAN13, Wish: barcode.Wish{DPI: 600}} })},
		"less than the 0.264": {change(qrField(), func(f *vary.Field) {
			f.Symbol = &vary.Symbol{Kind: barcode.EAN13, Wish: barcode.Wish{X: 200_000, DPI: 600}}
		})},
		"all its labels are al": nil,
	} {
		if _, err := vary.Prepare(t.Context(), plan(t, 10, fields...)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func TestAFaultyRecordIsNamed(t *testing.T) {
	p := plan(t, 1, vary.Field{
		Name: "gtin", Value: "{gtin}", Ink: ink.Black, At: geometry.Position{Across: 2 * mm, Around: 2 * mm}, Turn: geometry.Turn90,
		Symbol: &vary.Symbol{Kind: barcode.EAN8, Wish: barcode.Wish{DPI: 600}},
	})
	p.Records = records(t, "gtin\n96385074\n96385075\n", 0)
	_, err := vary.Prepare(t.Context(), p)
	if err == nil || !strings.Contains(err.Error(), "records.csv:3: record 2: field gtin:") || !strings.Contains(err.Error(), "check digit 5") {
		t.Error(err)
	}
	p.Records = records(t, "gtin\n96385074\n", 0)
	r := prepare(t, p)
	if !slices.ContainsFunc(r.Warnings, func(w say.Note) bool { return w.Code == barcode.CodeLadder }) {
		t.Errorf("bars across the web are not warned of: %v", r.Warnings)
	}
}

func first(a, _ int64) int64 { return a }
