package barcode

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"image"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/checkdigit"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/press"
	"quoin/impose/witness"
)

// Bars of DataBar Limited as BWIPP draws them (bwip-js 4.11.4, databarlimited):
// one reader alone knows this kind. Three hundred others, and as many of
// each other DataBar but Expanded, were the same on the day that this was written.
func TestLimited(t *testing.T) {
	for item, want := range map[string]string{
		"15400141288763": "1,4,1,1,1,1,2,1,4,1,2,2,1,3,2,2,1,1,1,1,2,1,1,1,2,2,1,1,1,4,3,2,1,2,2,1,3,1,2,1,1,2,1,1,1",
		"00000000000000": "1,1,1,1,1,1,1,1,1,1,1,6,1,6,3,1,1,1,3,1,1,1,1,2,1,2,1,1,1,1,1,1,1,1,1,1,1,1,1,6,1,6,3,1,1",
		"01234567890128": "1,1,1,6,3,2,1,1,1,4,1,1,1,2,1,1,1,2,1,1,1,1,2,1,1,2,2,1,1,3,3,2,2,1,1,1,1,1,1,1,4,4,1,1,1",
	} {
		s := encoded(t, encoderFor(t, DataBarLimited, Options{}), item)
		if got := strings.ReplaceAll(strings.Trim(fmt.Sprint(s.Bars), "[]"), " ", ","); got != want {
			t.Errorf("%s\n got %s\nwant %s", item, got, want)
		}
	}
	if _, err := encoderFor(t, DataBarLimited, Options{}).Encode("95400141288765"); err == nil {
		t.Error("a number that begins with 9 is taken")
	}
}

// DataBar Limited element by element as Zint encodes it. Of the readers in Debian, npm
// and the Go modules only ZXing-C++ (from 2.3 on, also as zxing-wasm) knows the kind
// without a licence to be fetched: ZBar, ZXing for Java and for JavaScript, gozxing and
// Quagga don't, and Debian's older ZXing-C++ neither. Two encoders of other people, BWIPP and
// Zint, stand in for the second reader.
func TestLimitedAsZint(t *testing.T) {
	zint := witness.Need(t, "zint")
	random := rand.New(rand.NewPCG(24724, 2011)) // of ISO/IEC 24724
	items := []int64{0, 1, 183063, 183064, 1_999_999_999_999}
	for range trials.Number(t, "QUOIN_LIMITED", 40, 400) {
		items = append(items, random.Int64N(2_000_000_000_000))
	}
	for _, n := range items {
		body := fmt.Sprintf("%013d", n)
		out, err := exec.Command(zint, "--barcode=DBAR_LTD", "--data="+body, "--dump").Output()
		if err != nil {
			t.Fatal(err)
		}
		text, err := hex.DecodeString(strings.Join(strings.Fields(string(out)), ""))
		if err != nil {
			t.Fatalf("%s: %v", out, err)
		}
		var modules strings.Builder
		for _, b := range text {
			fmt.Fprintf(&modules, "%08b", b)
		}
		item, err := checkdigit.GS1.Append(body)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for i, w := range encoded(t, encoderFor(t, DataBarLimited, Options{}), item).Bars {
			got += strings.Repeat(string("10"[i%2]), int(w))
		}
		if want := strings.Trim(modules.String(), "0"); strings.Trim(got, "0") != want {
			t.Errorf("%s\n got %s\nwant %s", item, got, want)
		}
	}
}

// The UPC-E 06543217, which stands for the UPC-A 065100004327 (Wikipedia,
// "Universal Product Code", UPC-E; read on another day, so from memory), worked
// out by hand: its check digit 7 asks for the sets BABABA, and 6 of set B is
// 0000101, 5 of A 0110001, 4 of B 0011101, 3 of A 0111101, 2 of B 0011011, 1 of A
// 0011001.
func TestUPCEByHand(t *testing.T) {
	s := encoded(t, encoderFor(t, UPCE, Options{}), "06543217")
	got := ""
	for i, w := range s.Bars {
		got += strings.Repeat(string("10"[i%2]), int(w))
	}
	if want := "101" + "0000101" + "0110001" + "0011101" + "0111101" + "0011011" + "0011001" + "010101"; got != want {
		t.Errorf("got %s\nwant %s", got, want)
	}
	if whole, err := Lengthened("06543217"); err != nil || whole != "065100004327" {
		t.Error(whole, err)
	}
	// One for each way to leave zeros out; the rule is its own inverse by table
	// (GS1 General Specifications, figure for UPC-E; from memory).
	for short, want := range map[string]string{"01200003": "012000000003", "01234532": "012300000453", "01234547": "012340000057", "01234565": "012345000065"} {
		if whole, err := Lengthened(short); err != nil || whole[:11] != want[:11] {
			t.Error(short, whole, err)
		}
	}
	for _, bad := range []string{"06543218", "26543217", "0654321", "0654321x"} {
		if _, err := encoderFor(t, UPCE, Options{}).Encode(bad); err == nil {
			t.Errorf("%s is taken", bad)
		}
	}
}

// readers say who reads a kind: two of zbarimg, dmtxread, ZXing-C++, gozxing and
// the JavaScript ZXing, which share no code. Limited is known to later versions of
// ZXing-C++ alone; BWIPP, which draws the same bars, is its other witness.
func readers(k Kind, matrixRead func(image.Image) string, later func(image.Image, string) []string, pdf417 func(image.Image) []string) map[string]func(t *testing.T, img image.Image) []string {
	zbar := func(t *testing.T, img image.Image) []string { return witness.Scan(t, img) }
	zxing := func(t *testing.T, img image.Image) []string { return witness.ZXing(t, img) }
	switch k {
	case DataBarLimited:
		return map[string]func(*testing.T, image.Image) []string{"ZXing 3": func(_ *testing.T, img image.Image) []string { return later(img, "DataBarLimited") }}
	case PDF417:
		return map[string]func(*testing.T, image.Image) []string{"ZXing": zxing, "JavaScript": func(_ *testing.T, img image.Image) []string { return pdf417(img) }}
	case DataMatrix, GS1DataMatrix:
		return map[string]func(*testing.T, image.Image) []string{"ZXing": zxing, "dmtx": func(t *testing.T, img image.Image) []string { return []string{witness.ScanDataMatrix(t, img)} }}
	case Aztec:
		return map[string]func(*testing.T, image.Image) []string{"ZXing": zxing, "gozxing": func(*testing.T, image.Image) []string { return []string{matrixRead(nil)} }}
	}
	return map[string]func(*testing.T, image.Image) []string{"ZXing": zxing, "zbar": zbar}
}

// Symbols of every kind, placed for devices of 600, 1200 and 1600 x 800 dpi, one of
// them for each kind but in the long pass, are read by two readers that share no code with us or with each other. They stand
// upright: ZXing-C++ 1.4 reads none of these bars on their side.
func TestEveryKindOnDevices(t *testing.T) {
	t.Parallel()
	witness.Need(t, "ZXingReader")
	devices := [][2]int{{600, 600}, {1200, 1200}, {1600, 800}}
	type page struct {
		kind Kind
		dpi  [2]int
		rect bool
	}
	var file bytes.Buffer
	w, err := press.New(&file, press.Setup{})
	if err != nil {
		t.Fatal(err)
	}
	var pages []page
	for i, k := range Kinds() {
		for j, dpi := range devices {
			if !trials.Long() && j != i%3 {
				continue
			}
			for _, rect := range []bool{false, true} {
				if rect && k != DataMatrix && k != GS1DataMatrix {
					continue
				}
				s := encoded(t, encoderFor(t, k, Options{Rectangular: rect}), deviceSample(k))
				z := fit(t, k, Wish{DPI: dpi[0], Around: dpi[1]})
				var pen Pen
				box := z.Place(&pen, s, geometry.Position{Across: 5 * mm, Around: 5 * mm}, geometry.Turn0, draw.Solid(ink.Black))
				frame := draw.Frame{Size: geometry.Size{Across: box.Max.Across + 5*mm, Around: box.Max.Around + 5*mm}}
				for _, text := range pen.Texts {
					frame.Items = append(frame.Items, text)
				}
				if err := w.Frame(frame); err != nil {
					t.Fatal(err)
				}
				pages = append(pages, page{k, dpi, rect})
			}
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "devices.pdf")
	if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	later, pdf417 := witness.NewZXing(t), witness.PDF417(t)
	for i, p := range pages {
		img := witness.MuPDF(t, path, i+1, 400)
		aztec := func(image.Image) string {
			return read(t, encoded(t, encoderFor(t, Aztec, Options{}), samples[Aztec][0]))
		}
		for name, reads := range readers(p.kind, aztec, later, pdf417) {
			got, want := reads(t, img), scannedSample(p.kind)
			if p.kind == UPCE && name == "ZXing" {
				want = samples[p.kind][0] // as it stands
			}
			if !slices.ContainsFunc(got, func(s string) bool {
				return said(s) == said(want) || "01"+said(s) == want || "0"+said(s) == want || "00"+said(s) == said(want)
			}) {
				t.Errorf("%s (rectangular: %v) for %d dpi is read by %s as %q, want %q", p.kind, p.rect, p.dpi, name, got, want)
			}
		}
	}
}

// deviceSample gives what a kind holds here: ZXingReader writes letters beyond
// ASCII in a way of its own.
func deviceSample(k Kind) string {
	if k == QR {
		return "https://example.com/q/0042"
	}
	return samples[k][0]
}

func scannedSample(k Kind) string {
	if k == QR {
		return deviceSample(k)
	}
	return samples[k][1]
}

// said leaves out what readers write of a symbology, of separators and of the
// parentheses around identifiers.
func said(s string) string {
	s = scanned(s)
	if strings.HasPrefix(s, "(01)") {
		s = strings.NewReplacer("(", "", ")", "").Replace(s)
	}
	return strings.ReplaceAll(s, "\x1d", "")
}
