package barcode

import (
	"bytes"
	"image"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/press"
	"quoin/impose/witness"
)

// pixels gives the dark pixels of a path of boxes, each corner of which must
// stand on the grid of the device, and whether any is painted twice.
func pixels(t interface{ Fatalf(string, ...any) }, d dots, p draw.Path) (dark map[[2]int]bool, twice bool) {
	dark = map[[2]int]bool{}
	for i := 0; i < len(p.Points); i += 4 {
		box := draw.Path{Verbs: p.Verbs[:5], Points: p.Points[i : i+4]}.Bounds()
		var at [4]int
		for j, l := range [4]geometry.Length{box.Min.Across, box.Min.Around, box.Max.Across, box.Max.Around} {
			at[j] = d.nearest(l)
			if off := l - d.length(at[j]); off < -300 || off > 300 { // modules of 1/3 nm too much or too little, in a row
				t.Fatalf("an edge is %d nm off the pixel", off)
			}
		}
		for x := at[0]; x < at[2]; x++ {
			for y := at[1]; y < at[3]; y++ {
				twice = twice || dark[[2]int{x, y}]
				dark[[2]int{x, y}] = true
			}
		}
	}
	return dark, twice
}

// What is placed as glyphs paints the same pixels as the path of merged
// rectangles, at any turn and place, and stays inside the outer box less its
// quiet zones.
func TestPlacedIsPath(t *testing.T) {
	encoders := map[Kind]*Encoder{}
	for _, k := range Kinds() {
		encoders[k] = encoderFor(t, k, Options{})
	}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(Kinds()).Draw(t, "kind")
		s, err := encoders[k].Encode(value(t, k))
		if err != nil {
			t.Fatal(err)
		}
		dpi := rapid.SampledFrom([]int{203, 254, 300}).Draw(t, "dpi")
		z, _, err := k.Fit(Wish{X: 560 * um, Height: mm, DPI: dpi, Plain: true})
		if err != nil {
			t.Fatal(err)
		}
		turn := geometry.Turn(rapid.IntRange(0, 3).Draw(t, "turn"))
		at := geometry.Position{
			Across: geometry.Length(rapid.IntRange(0, 300_000_000).Draw(t, "across")),
			Around: geometry.Length(rapid.IntRange(0, 900_000_000).Draw(t, "around")),
		}
		var pen Pen
		outer := z.Place(&pen, s, at, turn, draw.Solid(ink.Black))
		if off := outer.Min.Across - at.Across; off > z.dots.length(1) || off < -z.dots.length(1) {
			t.Fatalf("placed %s off", off)
		}
		path := z.Path(s, at, turn)
		want, twice := pixels(t, z.dots, path)
		if twice && k != ITF14 {
			t.Fatalf("the rectangles overlap")
		}
		// A matrix is painted twice, and each time whole; an ITF-14 in three
		// parts, its bars and two bearers.
		var all draw.Path
		for _, text := range pen.Texts {
			part := text.Fill().Path
			if got, _ := pixels(t, z.dots, part); k != ITF14 && !maps.Equal(got, want) {
				t.Fatalf("%s paint %d pixels, want %d", text.Font.Name, len(got), len(want))
			}
			all.Append(part)
		}
		if got, _ := pixels(t, z.dots, all); !maps.Equal(got, want) {
			t.Fatalf("%d pixels are painted, want %d", len(got), len(want))
		}
		inner := outer
		if quiet := geometry.Length(min(z.quiet.left, z.quiet.right)*z.x) * (geometry.Inch / geometry.Length(dpi)); k != ITF14 {
			if turn.Swaps() {
				inner.Min.Around, inner.Max.Around = inner.Min.Around+quiet, inner.Max.Around-quiet
			} else {
				inner.Min.Across, inner.Max.Across = inner.Min.Across+quiet, inner.Max.Across-quiet
			}
		}
		if bounds := path.Bounds(); !inner.Outset(300).Contains(bounds) {
			t.Fatalf("%s of %s reaches into its quiet zones", bounds.Size(), inner.Size())
		}
	})
}

// samples are values for each kind, and what scanners make of them.
var samples = map[Kind][2]string{
	EAN13: {"9501101530003", "9501101530003"},
	EAN8:  {"96385074", "96385074"},
	UPCA:  {"036000291452", "0036000291452"}, // scanned as the EAN-13 that it is

	UPCE:   {"06543217", "0065100004327"}, // and so is that it stands for
	Code39: {"HL-0042 A", "HL-0042 A"},
	PDF417: {"HL 0042 perry, lot 7", "HL 0042 perry, lot 7"},
	Aztec:  {"HL 0042 perry", "HL 0042 perry"},

	DataBar:            {"09501101530003", "0109501101530003"},
	DataBarTruncated:   {"09501101530003", "0109501101530003"},
	DataBarLimited:     {"15400141288763", "0115400141288763"},
	DataBarExpanded:    {"(01)09501101530003(10)AB12-c(21)7", "010950110153000310AB12-c\x1d217"},
	DataBarStacked:     {"09501101530003", "0109501101530003"},
	DataBarStackedOmni: {"09501101530003", "0109501101530003"},

	ITF14:         {"15400141288763", "15400141288763"},
	Code128:       {"HL-0042 a", "HL-0042 a"},
	GS1128:        {"(01)09501101530003(10)AB12", "010950110153000310AB12"},
	QR:            {"https://example.com/q/Grüße/0042", "https://example.com/q/Grüße/0042"},
	GS1QR:         {"(01)09501101530003(10)A%B(21)7", "010950110153000310A%B\x1d217"},
	DataMatrix:    {"HL 0042 perry", "HL 0042 perry"},
	GS1DataMatrix: {"(01)09501101530003(10)AB12(21)7", "010950110153000310AB12217"}, // dmtxread hides separators; gozxing sees them
}

// Every kind goes through the press file and a renderer, at one turn or, in the long
// pass, at each, and is read by scanners that share no code with us.
func TestPlacedSymbolsAreScanned(t *testing.T) {
	t.Parallel()
	witness.Need(t, "mutool")
	const dpi = 400
	var file bytes.Buffer
	w, err := press.New(&file, press.Setup{})
	if err != nil {
		t.Fatal(err)
	}
	type page struct {
		kind Kind
		turn geometry.Turn
	}
	var pages []page
	for i, k := range Kinds() {
		turns := []geometry.Turn{geometry.Turn0, geometry.Turn90, geometry.Turn180, geometry.Turn270}
		if !trials.Long() {
			turns = turns[i%4 : i%4+1]
		}
		for _, turn := range turns {
			s := encoded(t, encoderFor(t, k, Options{}), samples[k][0])
			z := fit(t, k, Wish{DPI: dpi})
			var pen Pen
			box := z.Place(&pen, s, geometry.Position{Across: 10_123_456, Around: 8_765_432}, turn, draw.Solid(ink.Black))
			frame := draw.Frame{Size: geometry.Size{Across: box.Max.Across + 5*mm, Around: box.Max.Around + 5*mm}}
			for _, text := range pen.Texts {
				frame.Items = append(frame.Items, text)
			}
			if err := w.Frame(frame); err != nil {
				t.Fatal(err)
			}
			pages = append(pages, page{k, turn})
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "symbols.pdf")
	if keep := os.Getenv("KEEP"); keep != "" {
		path = keep
	}
	if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	for i, p := range pages {
		img := witness.MuPDF(t, path, i+1, dpi, witness.NoAntialias)
		var got []string
		switch p.kind {
		case DataMatrix, GS1DataMatrix:
			got = []string{witness.ScanDataMatrix(t, img)}
		case PDF417, Aztec, DataBarExpanded:
			got = witness.ZXing(t, img)
		case DataBarLimited:
			continue // no reader here knows it: see TestLimited
		default:
			got = witness.Scan(t, img)
		}
		if !slices.ContainsFunc(got, func(s string) bool { return said(s) == said(samples[p.kind][1]) || "01"+said(s) == samples[p.kind][1] }) {
			t.Errorf("%s turned by %s is read as %q, want %q", p.kind, p.turn, got, samples[p.kind][1])
		}
	}
}

// A proof of another resolution than the device's can be scanned too: there
// modules end inside pixels.
func TestProofsAreScanned(t *testing.T) {
	t.Parallel()
	s := encoded(t, encoderFor(t, QR, Options{}), samples[QR][0])
	z := fit(t, QR, Wish{X: 500 * um, DPI: 600})
	var file bytes.Buffer
	w, err := press.New(&file, press.Setup{})
	if err != nil {
		t.Fatal(err)
	}
	pages := 12
	if testing.Short() {
		pages = 4
	}
	for i := range pages {
		var pen Pen
		// A part of a pixel of 300 dpi further on each page.
		at := 5*mm + geometry.Length(i)*geometry.Inch/300/geometry.Length(pages)
		z.Place(&pen, s, geometry.Position{Across: at, Around: at}, geometry.Turn(i%4), draw.Solid(ink.Black))
		frame := draw.Frame{Size: geometry.Size{Across: 30 * mm, Around: 30 * mm}}
		for _, text := range pen.Texts {
			frame.Items = append(frame.Items, text)
		}
		if err := w.Frame(frame); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "proof.pdf")
	if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	for i := range pages {
		for name, img := range map[string]image.Image{"MuPDF": witness.MuPDF(t, path, i+1, 300), "Poppler": witness.Poppler(t, path, i+1, 300)} {
			if got := witness.Scan(t, img); len(got) != 1 || scanned(got[0]) != samples[QR][1] {
				t.Errorf("page %d by %s is read as %q", i+1, name, got)
			}
		}
	}
}

// scanned leaves out what a scanner says of the symbology, and FNC1 in front.
func scanned(s string) string {
	for i := range len(s) {
		if s[i] == ':' && i > 0 && s[0] >= 'A' && s[0] <= 'Z' && i+1 < len(s) {
			s = s[i+1:]
			break
		}
	}
	if len(s) > 0 && (s[0] == separator || s[0] == 0xe8) {
		s = s[1:]
	}
	return s
}

// rectangles covers the dark modules with few rectangles that don't overlap,
// each as left, top, right and bottom: runs down the columns, joined with the
// same run in the next ones.
func (g *Grid) rectangles() [][4]int {
	var done, open [][4]int
	for col := range g.Cols {
		var next [][4]int
		for row := 0; row < g.Rows; row++ {
			from := row
			for row < g.Rows && g.Dark(col, row) {
				row++
			}
			if row == from {
				continue
			}
			run := [4]int{col, from, col + 1, row}
			for _, o := range open {
				if o[1] == from && o[3] == row {
					run[0] = o[0]
				}
			}
			next = append(next, run)
		}
		for _, o := range open {
			if !slices.ContainsFunc(next, func(r [4]int) bool { return r[0] == o[0] && r[1] == o[1] && r[3] == o[3] }) {
				done = append(done, o)
			}
		}
		open = next
	}
	return append(done, open...)
}

// Path returns the symbol as merged rectangles on the frame, the same that Place
// paints but for the line that people read.
func (z Size) Path(s *Symbol, p geometry.Position, turn geometry.Turn) draw.Path {
	z.plain = true
	var pen Pen
	z.Place(&pen, s, p, turn, draw.Paint{})
	if s.Kind.Linear() {
		var path draw.Path
		for _, t := range pen.Texts {
			path.Append(t.Fill().Path)
		}
		return path
	}
	b, _ := newBench(z, s, p, turn)
	var path draw.Path
	for _, r := range s.Grid.rectangles() {
		q := z.quiet.left
		x, y := b.along.x, b.upright.x
		a, c := b.at((q+r[0])*x, (q+r[1])*y), b.at((q+r[2])*x, (q+r[3])*y)
		path.Append(draw.Rectangle(geometry.Box{
			Min: geometry.Position{Across: min(a.Across, c.Across), Around: min(a.Around, c.Around)},
			Max: geometry.Position{Across: max(a.Across, c.Across), Around: max(a.Around, c.Around)},
		}))
	}
	return path
}
