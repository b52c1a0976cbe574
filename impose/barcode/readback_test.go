package barcode

import (
	"image"
	"image/color"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/aztec"
	"github.com/makiuchi-d/gozxing/datamatrix"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"
	"pgregory.net/rapid"

	"quoin/impose/checkdigit"
)

// raster paints a symbol with so many pixels a module and a quiet zone of ten
// modules.
func raster(s *Symbol, scale int) *image.Gray {
	const quiet = 10
	cols, rows := s.Modules()
	if rows == 0 {
		rows = 30
	}
	img := image.NewGray(image.Rect(0, 0, (cols+2*quiet)*scale, (rows+2*quiet)*scale))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	black := func(col, row int) {
		for y := range scale {
			for x := range scale {
				img.SetGray((col+quiet)*scale+x, (row+quiet)*scale+y, color.Gray{})
			}
		}
	}
	if !s.Kind.Linear() {
		for col := range cols {
			for row := range rows {
				if s.Grid.Dark(col, row) {
					black(col, row)
				}
			}
		}
		return img
	}
	col := 0
	for i, w := range s.Bars {
		for range w {
			if i%2 == 0 {
				for row := range rows {
					black(col, row)
				}
			}
			col++
		}
	}
	return img
}

// read has a symbol read by gozxing, which shares no code with our encoders.
func read(t interface{ Fatalf(string, ...any) }, s *Symbol) string {
	reader := map[Kind]gozxing.Reader{
		EAN13: oned.NewEAN13Reader(), EAN8: oned.NewEAN8Reader(), UPCA: oned.NewUPCAReader(),
		ITF14: oned.NewITFReader(), Code128: oned.NewCode128Reader(), GS1128: oned.NewCode128Reader(),
		QR: qrcode.NewQRCodeReader(), GS1QR: qrcode.NewQRCodeReader(),
		DataMatrix: datamatrix.NewDataMatrixReader(), GS1DataMatrix: datamatrix.NewDataMatrixReader(),
		UPCE: oned.NewUPCEReader(), Code39: oned.NewCode39Reader(), Aztec: aztec.NewAztecReader(),
	}[s.Kind]
	bitmap, err := gozxing.NewBinaryBitmapFromImage(raster(s, 3))
	if err != nil {
		t.Fatalf("%v", err)
	}
	hints := map[gozxing.DecodeHintType]any{}
	switch {
	case s.Kind == GS1128:
		hints[gozxing.DecodeHintType_ASSUME_GS1] = true
	case !s.Kind.Linear():
		hints[gozxing.DecodeHintType_PURE_BARCODE] = true
	}
	result, err := reader.Decode(bitmap, hints)
	if err != nil {
		t.Fatalf("%s of %q is not read: %v\n%s", s.Kind, s.Text, err, &s.Grid)
	}
	return result.GetText()
}

// unread are the kinds that this reader doesn't know, and DataBar, of which it
// passes over numbers that ZXing-C++ and zbar read; TestEveryKindOnDevices has them
// read by others.
var unread = map[Kind]bool{
	DataBar: true, DataBarTruncated: true, DataBarStacked: true, DataBarStackedOmni: true, DataBarLimited: true, DataBarExpanded: true, PDF417: true,
}

// value draws data that suit the kind.
func value(t *rapid.T, k Kind) string {
	switch k {
	case UPCE:
		short := rapid.StringMatching(`[01][0-9]{6}`).Draw(t, "digits")
		for d := byte('0'); d <= '9'; d++ {
			if whole, _ := Lengthened(short + string(d)); checkdigit.GS1.Verify(whole) == nil {
				return short + string(d)
			}
		}
	case DataBarLimited:
		number, err := checkdigit.GS1.Append(rapid.StringMatching(`[01][0-9]{12}`).Draw(t, "digits"))
		if err != nil {
			t.Fatal(err)
		}
		return number
	case Code39:
		return rapid.StringMatching(`[0-9A-Z. $/+%-]{0,20}[0-9A-Z]`).Draw(t, "text")
	case PDF417, Aztec:
		return rapid.OneOf(rapid.StringMatching(`[ -~]{1,60}`), rapid.StringMatching(`[0-9]{1,60}`)).Draw(t, "text")
	}
	if n := k.digits(); n > 0 {
		number, err := checkdigit.GS1.Append(rapid.StringMatching(`[0-9]{`+strconv.Itoa(n-1)+`}`).Draw(t, "digits"))
		if err != nil {
			t.Fatal(err)
		}
		return number
	}
	if k.GS1() {
		gtin, err := checkdigit.GS1.Append(rapid.StringMatching(`[0-9]{13}`).Draw(t, "gtin"))
		if err != nil {
			t.Fatal(err)
		}
		serial := rapid.StringMatching(`[0-9A-Za-z"%&'*+,./:;<=>?_-]{1,10}`).Draw(t, "serial")
		lot := rapid.StringMatching(`[0-9A-Z]{0,8}[0-9]`).Draw(t, "lot")
		return "(01)" + gtin + "(21)" + serial + "(10)" + lot
	}
	if k == Code128 {
		return rapid.OneOf(
			rapid.StringMatching(`[ -~]{1,20}`), rapid.StringMatching(`[0-9]{1,20}`),
			rapid.StringMatching(`([A-Z]{0,3}[0-9]{0,7}[a-z\x01-\x1f]{0,2}){1,4}!`),
		).Draw(t, "text")
	}
	return rapid.OneOf(
		rapid.StringMatching(`[ -~]{1,60}`), rapid.StringMatching(`[0-9]{1,100}`),
		rapid.StringMatching(`https://example\.com/[a-z0-9]{4}/[A-Z0-9]{1,30}`),
		rapid.StringMatching(`([A-Z]{0,9}[0-9]{0,9}[a-z]{0,9}[ -~äß€語]{0,4}){1,4}!`),
		rapid.StringMatching(`[ -~]{200,600}`),
	).Draw(t, "text")
}

// asRead gives what gozxing should say of a value.
func asRead(k Kind, data string, e *Encoder) string {
	elements := e.elems
	switch {
	case k == GS1128:
		// The reader hands on FNC1 as the separator and names the symbology. It
		// takes a check character of 102 for one more FNC1.
		if check128(e.code128.words) == fnc1 {
			elements = append(elements, separator)
		}
		return "]C1" + string(elements)
	case k == GS1DataMatrix:
		return "\x1d" + string(elements)
	case k == GS1QR:
		return string(elements)
	}
	return data
}

// TestReadBack reads two hundred values of each kind back; with QUOIN_SYMBOLS=30,
// three thousand.
func TestReadBack(t *testing.T) {
	times := 2
	if text := os.Getenv("QUOIN_SYMBOLS"); text != "" {
		var err error
		if times, err = strconv.Atoi(text); err != nil {
			t.Fatal(err)
		}
	}
	for _, k := range Kinds() {
		t.Run(string(k), func(t *testing.T) {
			t.Parallel()
			e := encoderFor(t, k, Options{})
			rapid.Check(t, func(t *rapid.T) {
				for range times {
					readsBack(t, e)
				}
			})
		})
	}
}

func readsBack(t *rapid.T, e *Encoder) {
	k, data := e.kind, value(t, e.kind)
	if k == QR || k == GS1QR {
		e.options.Level = rapid.SampledFrom([]Level{LevelL, LevelM, LevelQ, LevelH}).Draw(t, "level")
	}
	s, err := e.Encode(data)
	if err != nil {
		t.Fatal(err)
	}
	across, down := s.Modules()
	if n, err := e.Measure(data); err != nil || n != (Extent{across, down}) {
		t.Fatalf("%s of %q measures %d modules, %v, and has %d x %d", k, data, n, err, across, down)
	}
	if unread[k] {
		return
	}
	got, want := read(t, s), asRead(k, data, e)
	if k == DataMatrix && beyondASCII([]byte(data)) && sameBytes(got, data) {
		return
	}
	if got != want {
		t.Fatalf("%s of %q is read as %q\n%s", k, want, got, &s.Grid)
	}
}

// sameBytes reports whether a reader that doesn't know the announcement of UTF-8
// read the data: it takes the number of the announcement for a character, and
// each byte for a letter of ISO 8859-1 or, where bytes are written as such,
// those that look like UTF-8 for UTF-8.
func sameBytes(got, data string) bool {
	got, ok := strings.CutPrefix(got, "\x1a")
	for _, r := range got {
		switch {
		case data != "" && r == rune(data[0]):
			data = data[1:]
		case strings.HasPrefix(data, string(r)):
			data = data[len(string(r)):]
		default:
			return false
		}
	}
	return ok && data == ""
}

// Any bytes at all become a symbol or an error, and measuring says the same as
// encoding.
func TestAnyBytes(t *testing.T) {
	encoders := map[Kind]*Encoder{}
	for _, k := range Kinds() {
		encoders[k] = encoderFor(t, k, Options{})
	}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(Kinds()).Draw(t, "kind")
		data := string(rapid.SliceOfN(rapid.Byte(), 0, 80).Draw(t, "data"))
		if rapid.Bool().Draw(t, "elements") {
			data = "(21)" + data
		}
		n, measured := encoders[k].Measure(data)
		s, err := encoders[k].Encode(data)
		if (measured == nil) != (err == nil) {
			t.Fatalf("measuring says %v, encoding %v", measured, err)
		}
		if err == nil {
			if across, down := s.Modules(); n != (Extent{across, down}) {
				t.Fatalf("%d modules are measured, %d x %d made", n, across, down)
			}
		}
	})
}

// Every size of Data Matrix and every version of QR Code is read.
func TestEverySize(t *testing.T) {
	t.Parallel()
	text := strings.Repeat("Hollow Lane 0123456789 ", 100)
	for _, size := range matrixSizes {
		e := encoderFor(t, DataMatrix, Options{Rectangular: size.cols != size.rows})
		e.GrowTo(Extent{size.cols, size.rows})
		s := encoded(t, e, "1917")
		if s.Grid.Cols != size.cols || s.Grid.Rows != size.rows {
			t.Errorf("asked for %d x %d modules, got %d x %d", size.cols, size.rows, s.Grid.Cols, s.Grid.Rows)
		}
		if got := read(t, s); got != "1917" {
			t.Errorf("%d x %d modules: %q", size.cols, size.rows, got)
		}
	}
	step := 1
	if testing.Short() {
		step = 3
	}
	for version := 1; version <= maxVersion; version += step {
		e := encoderFor(t, QR, Options{Least: 4*version + 17, Level: LevelQ})
		data := text[:qrData(version, 2)-3]
		s := encoded(t, e, data)
		if s.Grid.Cols != 4*version+17 {
			t.Errorf("asked for version %d, got %d modules", version, s.Grid.Cols)
		}
		if got := read(t, s); got != data {
			t.Errorf("version %d: %q", version, got)
		}
	}
}

func TestTooLong(t *testing.T) {
	for k, data := range map[Kind]string{
		QR: strings.Repeat("x", 3000), DataMatrix: strings.Repeat("x", 2000), Code128: strings.Repeat("x", 100),
		GS1128: "(91)" + strings.Repeat("x", 60), EAN13: "123", ITF14: "15400141288764",
	} {
		if _, err := encoderFor(t, k, Options{}).Encode(data); err == nil {
			t.Errorf("%s took %d characters", k, len(data))
		}
		if _, err := encoderFor(t, k, Options{}).Measure(data); err == nil {
			t.Errorf("%s measured %d characters", k, len(data))
		}
	}
	if _, err := encoderFor(t, Code128, Options{}).Encode("Käse"); err == nil {
		t.Error("code-128 took a letter beyond ASCII")
	}
	for _, k := range Kinds() {
		if _, err := encoderFor(t, k, Options{}).Encode(""); err == nil {
			t.Errorf("%s took nothing", k)
		}
	}
}

func BenchmarkEncode(b *testing.B) {
	for _, c := range []struct {
		name string
		kind Kind
		data string
	}{
		{"qr-serial", QR, "HL-00012345"}, {"qr-url", QR, "https://example.com/q/0012345AB"},
		{"data-matrix", GS1DataMatrix, "(01)09501101530003(21)00012345"},
		{"ean-13", EAN13, "9501101530003"}, {"gs1-128", GS1128, "(01)09501101530003(21)00012345"},
	} {
		b.Run(c.name, func(b *testing.B) {
			e := encoderFor(b, c.kind, Options{})
			b.ReportAllocs()
			for b.Loop() {
				encoded(b, e, c.data)
			}
			// The press prints 150 labels a second: 2 m of web, 72 labels on
			// a frame of 960 mm.
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds()/150, "x-press")
		})
	}
}

// String draws the grid with # for dark modules, one line a row.
func (g *Grid) String() string {
	var b []byte
	for row := range g.Rows {
		for col := range g.Cols {
			c := byte('.')
			if g.Dark(col, row) {
				c = '#'
			}
			b = append(b, c)
		}
		b = append(b, '\n')
	}
	return string(b)
}
