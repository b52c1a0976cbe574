package prove_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/prove"
	"quoin/impose/verify"
)

// written imposes the sample, whose files keep all rules, and gives a copy of
// the PDF in which one text is another of the same length.
func written(t *testing.T, im *impose.Imposition, from, to string) string {
	t.Helper()
	var pdf bytes.Buffer
	if err := im.WritePDF(t.Context(), &pdf); err != nil {
		t.Fatal(err)
	}
	data := pdf.Bytes()
	if len(from) != len(to) || bytes.Count(data, []byte(from)) != 1 {
		t.Fatalf("%q stands %d times in the file", from, bytes.Count(data, []byte(from)))
	}
	path := filepath.Join(t.TempDir(), "out.pdf")
	if err := os.WriteFile(path, bytes.Replace(data, []byte(from), []byte(to), 1), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

func opened(t *testing.T) *impose.Imposition {
	t.Helper()
	j, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	im, err := impose.Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { im.Close() })
	return im
}

// TestAFalseClaimNeverAppears: a file may be as planned and still not be what
// its marker says.
func TestAFalseClaimNeverAppears(t *testing.T) {
	const marker = "<pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>"
	for _, c := range []struct{ to, wrong string }{
		{marker, ""},
		{strings.Replace(marker, "X-4", "X-1", 1), "breaks version-marker of PDF/X-4"},
	} {
		im := opened(t)
		path := written(t, im, marker, c.to)
		s, err := im.Summary(impose.Written{Pages: 1})
		if err != nil {
			t.Fatal(err)
		}
		err = prove.Written(t.Context(), path, s, verify.Options{Name: "run-001.pdf"})
		if c.wrong == "" {
			if err != nil {
				t.Errorf("a whole file: %v", err)
			}
			continue
		}
		var e *prove.Error
		if !errors.As(err, &e) || e.File != "run-001.pdf" || len(e.Wrong) != 1 || !strings.HasPrefix(e.Wrong[0], c.wrong) {
			t.Errorf("got %v, want one that %s", err, c.wrong)
		}
	}
}
