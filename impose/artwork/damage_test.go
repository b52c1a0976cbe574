package artwork

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/pdfobj"
	"quoin/impose/witness"
)

// wholeLabel is a small artwork with all that can be lost: content in two
// parts, a form, a font program, an image with a mask and an ICC profile.
func wholeLabel(t *testing.T) string {
	noise := func(n int) string { // what doesn't deflate, so that a cut is a loss
		b := make([]byte, 0, n)
		for i := 0; len(b) < n; i++ {
			sum := sha256.Sum256([]byte(fmt.Sprint(i)))
			b = append(b, sum[:]...)
		}
		return string(b[:n])
	}
	deflated := func(dict, data string) string {
		var b bytes.Buffer
		z := zlib.NewWriter(&b)
		io.WriteString(z, data)
		z.Close()
		return witness.Stream(dict+" /Filter /FlateDecode", b.String())
	}
	return onePage(t, "/Contents [4 0 R 5 0 R] /Resources << /Font << /F 6 0 R >> /XObject << /Im 9 0 R /Fm 11 0 R >> /ColorSpace << /S 12 0 R >> >>",
		deflated("", "q 20 0 0 20 30 20 cm /Im Do Q /Fm Do % "+fmt.Sprintf("%x", noise(200))),
		deflated("", "BT /F 8 Tf 20 20 Td (Label) Tj ET /S cs 1 scn 20 20 10 10 re f % "+fmt.Sprintf("%x", noise(200))),
		"<< /Type /Font /Subtype /TrueType /BaseFont /ABCDEF+Some /FirstChar 76 /LastChar 76 /Widths [500] /FontDescriptor 7 0 R >>",
		"<< /Type /FontDescriptor /FontName /ABCDEF+Some /Flags 4 /FontFile2 8 0 R >>",
		deflated("/Length1 300", noise(300)),
		deflated("/Type /XObject /Subtype /Image /Width 10 /Height 10 /BitsPerComponent 8 /ColorSpace /DeviceCMYK /SMask 10 0 R", noise(400)),
		deflated("/Type /XObject /Subtype /Image /Width 10 /Height 10 /BitsPerComponent 8 /ColorSpace /DeviceGray", noise(100)),
		witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 100 60] /Resources << >>", "0 1 0 0 k 40 30 20 20 re f"),
		"[/Separation /Gold /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 .2 .8 .2] >>]")
}

// taken gives all that placing the page would copy of it.
func taken(path string) (string, error) {
	f, err := Open(path, Options{})
	if err != nil {
		return "", err
	}
	defer f.Close()
	p, err := f.Page(1)
	if err != nil {
		return "", err
	}
	if err := p.Unfit(); err != nil {
		return "", err
	}
	var out bytes.Buffer
	w, err := pdfobj.NewWriter(&out, pdfobj.WriterOptions{})
	if err != nil {
		return "", err
	}
	c := pdfobj.NewCopier(p.Doc, w)
	var sums strings.Builder
	for _, key := range []pdfobj.Name{"Resources", "Contents"} {
		o, err := c.Copy(p.Dict[key])
		if err != nil {
			return "", err
		}
		text, err := pdfobj.AppendObject(nil, o)
		if err != nil {
			return "", err
		}
		fmt.Fprintf(&sums, "%s\n", text)
	}
	return sums.String() + fmt.Sprint(w.Digest(), p.Boxes, p.Inks, p.Fonts), nil
}

// A file that is cut off anywhere is placed as it was, or refused.
func TestCutOffArtworkIsWholeOrRefused(t *testing.T) {
	path := wholeLabel(t)
	whole, err := taken(path)
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	refused, numbered := 0, 0
	step := trials.Number(t, "", 7, 1)
	tried := 0
	for n := len(data) - 1; n >= 0; n -= step {
		tried++
		if err := os.WriteFile(path, data[:n], 0o644); err != nil {
			t.Fatal(err)
		}
		got, err := taken(path)
		switch {
		case err != nil:
			var e *Error
			if !errors.As(err, &e) || e.Hint() == "" {
				t.Fatalf("cut to %d of %d bytes: %v without a way out", n, len(data), err)
			}
			refused++
			if strings.Contains(err.Error(), "(object ") {
				numbered++
			}
		case got != whole:
			t.Fatalf("cut to %d of %d bytes, it is placed otherwise:\n%s\nnot\n%s\nthe file ends %q", n, len(data), got, whole, data[max(0, n-60):n])
		}
	}
	t.Logf("%d cuts: %d refused, %d of them with the object", tried, refused, numbered)
	if refused < tried/2 || numbered < refused/2 {
		t.Errorf("%d cuts, %d refused, %d with the object", tried, refused, numbered)
	}
}

// Content beyond the limit is refused before it is walked, and taken when that
// is asked for: 100 MiB of spaces in a few kilobytes, packed twice.
func TestLongContentIsRefusedUnlessAskedFor(t *testing.T) {
	pack := func(write func(io.Writer)) []byte {
		var b bytes.Buffer
		z := zlib.NewWriter(&b)
		write(z)
		z.Close()
		return b.Bytes()
	}
	spaces := bytes.Repeat([]byte{' '}, 1<<20)
	once := pack(func(w io.Writer) {
		for range 100 {
			w.Write(spaces)
		}
		io.WriteString(w, "0 g 20 20 20 20 re f")
	})
	twice := pack(func(w io.Writer) { w.Write(once) })
	path := onePage(t, "/Contents 4 0 R /Resources << >>", witness.Stream("/Filter [/FlateDecode /FlateDecode]", string(twice)))
	if len(twice) > 20_000 {
		t.Fatalf("%d bytes", len(twice))
	}
	p := open(t, path, Options{})
	if err := p.Unfit(); err == nil || !strings.Contains(err.(*Error).Hint(), "--long-content") || len(p.Inks) > 0 {
		t.Errorf("%v, %s", err, inkList(p))
	}
	if testing.Short() {
		return
	}
	p = open(t, path, Options{Long: true})
	if p.Unfit() != nil || inkList(p) != "Black" {
		t.Errorf("%v, %s", p.Unfit(), inkList(p))
	}
}

// Content in an image codec, which no viewer shows, is refused; so is what
// else can't be decoded.
func TestContentThatCannotBeDecoded(t *testing.T) {
	for filter, want := range map[string]string{"CCITTFaxDecode": "CCITTFaxDecode", "DCTDecode": "DCTDecode", "Unheard": "Unheard", "FlateDecode": "flate"} {
		p := open(t, onePage(t, "/Contents [4 0 R 5 0 R] /Resources << >>", witness.Stream("/Filter /"+filter, "0 g 20 20 20 20 re f"), witness.Stream("", "0 g")), Options{})
		if err := p.Unfit(); err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "object 4") {
			t.Errorf("%s: %v", filter, err)
		}
	}
}

// What had to be mended in the page tree is told, and a page's own intent.
func TestPageTreeAndPageIntentAreTold(t *testing.T) {
	path := witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [7 0 R 3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] /OutputIntents [<< /S /GTS_PDFX /OutputConditionIdentifier (Own) >>] >>")
	p := open(t, path, Options{})
	if got := text(p, PageTreeMended); !strings.Contains(got, "page tree has an entry that is no page") {
		t.Error(got)
	}
	if got := text(p, PageIntent); !strings.Contains(got, `"Own"; the document has none`) {
		t.Error(got)
	}
	path = witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R /OutputIntents [<< /S /GTS_PDFX /OutputConditionIdentifier (Other) >>] >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] /OutputIntents [<< /S /GTS_PDFX /OutputConditionIdentifier (Own) >>] >>")
	if got := text(open(t, path, Options{}), PageIntent); !strings.Contains(got, `"Own", which is taken and not the document's`) {
		t.Error(got)
	}
}
