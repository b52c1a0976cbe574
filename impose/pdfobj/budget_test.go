package pdfobj

import (
	"bytes"
	"compress/zlib"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
)

func deflated(t testing.TB, write func(w io.Writer)) string {
	t.Helper()
	var b bytes.Buffer
	z, err := zlib.NewWriterLevel(&b, zlib.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	write(z)
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// zeros is 16 MB of nothing.
func zeros(t testing.TB) string {
	return deflated(t, func(w io.Writer) {
		for range 16 {
			w.Write(make([]byte, 1<<20))
		}
	})
}

func TestBombs(t *testing.T) {
	bomb := zeros(t)
	twice := deflated(t, func(w io.Writer) { io.WriteString(w, bomb) })
	for _, dict := range []string{"/Filter/FlateDecode", "/Filter[/FlateDecode/FlateDecode]"} {
		f := simple()
		f.objects[3] = stream(dict, bomb)
		if strings.Contains(dict, "[") {
			f.objects[3] = stream(dict, twice)
		}
		text := f.String()
		d, err := Open(strings.NewReader(text), int64(len(text)), Limits{MaxDecoded: 1 << 20})
		if err != nil {
			t.Fatal(err)
		}
		r, err := d.Decoded(d.Stream(Ref{Num: 4}))
		if err != nil {
			t.Fatal(err)
		}
		if n, err := io.Copy(io.Discard, r); n > 1<<20 || !errors.Is(err, ErrBudget) {
			t.Errorf("%s: %d bytes, %v", dict, n, err)
		}
		s := NewContentScanner(d.Content(mustPage(t, d).Dict["Contents"]))
		for s.Next() {
			s.Operation()
		}
		if !errors.Is(s.Err(), ErrBudget) {
			t.Errorf("%s: scanning ended with %v", dict, s.Err())
		}
	}
	// Exactly at the limit nothing is wrong.
	f := simple()
	text := f.String()
	d, err := Open(strings.NewReader(text), int64(len(text)), Limits{MaxDecoded: int64(len(testContent))})
	if err != nil {
		t.Fatal(err)
	}
	r, err := d.Decoded(d.Stream(Ref{Num: 4}))
	if err != nil {
		t.Fatal(err)
	}
	if data, err := io.ReadAll(r); err != nil || string(data) != testContent {
		t.Errorf("%q, %v", data, err)
	}
}

func TestManyFilters(t *testing.T) {
	f := simple()
	f.objects[3] = stream("/Filter["+strings.Repeat("/AHx", 1000)+"]", "00")
	d := open(t, []byte(f.String()))
	if _, err := d.Decoded(d.Stream(Ref{Num: 4})); !errors.Is(err, ErrBudget) {
		t.Error(err)
	}
}

func TestImageFilters(t *testing.T) {
	f := simple()
	f.objects[3] = stream("/Filter[/AHx/DCT]/DecodeParms[null<</ColorTransform 0>>]", "FFD8>")
	d := open(t, []byte(f.String()))
	s := d.Stream(Ref{Num: 4})
	if _, err := d.Decoded(s); !errors.Is(err, ErrImageFilter) {
		t.Error(err)
	}
	r, rest, err := d.DecodedUpTo(s)
	if err != nil || len(rest) != 1 || rest[0].Filter != "DCTDecode" || rest[0].Parms["ColorTransform"] != Integer(0) {
		t.Fatalf("%v, %v", rest, err)
	}
	if data, err := io.ReadAll(r); err != nil || string(data) != "\xff\xd8" {
		t.Errorf("%q, %v", data, err)
	}
}

// When the context ends, so does everything, with its error.
func TestContextEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	text := withResources("/A 5 0 R", "[6 0 R]", stream("", "x")).String()
	d, err := Open(strings.NewReader(text), int64(len(text)), Limits{Context: ctx})
	if err != nil {
		t.Fatal(err)
	}
	p := mustPage(t, d)
	r, err := d.Decoded(d.Stream(Ref{Num: 4}))
	if err != nil {
		t.Fatal(err)
	}
	cancel()
	if _, err := io.ReadAll(r); !errors.Is(err, context.Canceled) {
		t.Errorf("reading: %v", err)
	}
	if _, err := d.objects.get(Ref{Num: 5}); !errors.Is(err, context.Canceled) {
		t.Errorf("getting: %v", err)
	}
	w, err := NewWriter(io.Discard, WriterOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := NewCopier(d, w).Copy(p.Dict); !errors.Is(err, context.Canceled) {
		t.Errorf("copying: %v", err)
	}
	if d.Array(Ref{Num: 5}) != nil || !errors.Is(d.Err(), context.Canceled) {
		t.Errorf("typed helper: %v", d.Err())
	}
	if _, err := Open(strings.NewReader(text), int64(len(text)), Limits{Context: ctx}); !errors.Is(err, context.Canceled) {
		t.Errorf("opening: %v", err)
	}
}

// flaky fails from the nth read on: a failing disk is no damaged file.
type flaky struct {
	io.ReaderAt
	left int
}

var errDisk = errors.New("disk on fire")

func (f *flaky) ReadAt(p []byte, off int64) (int, error) {
	if f.left--; f.left < 0 {
		return 0, errDisk
	}
	return f.ReaderAt.ReadAt(p, off)
}

func TestSourceFails(t *testing.T) {
	f := withResources("/A 5 0 R", "[6 0 R]", stream("", strings.Repeat("x", 50_000)), stream("", strings.Repeat("y", 50_000)))
	for _, text := range []string{f.String(), strings.Replace(f.String(), "startxref", "startxyz", 1)} {
		for left := 0; ; left++ {
			d, err := Open(&flaky{strings.NewReader(text), left}, int64(len(text)), Limits{})
			if err == nil {
				err = copyPage(d, io.Discard, nil)
			}
			if err == nil {
				if left < 5 {
					t.Errorf("%d reads were enough", left)
				}
				break
			}
			if !errors.Is(err, errDisk) {
				t.Fatalf("after %d reads: %v", left, err)
			}
		}
	}
}

// Files that make a careless reader work forever. The test ends, that is all
// it asks; each takes well under a second.
func TestHostileFiles(t *testing.T) {
	many := 20_000
	if testing.Short() {
		many = 2_000
	}
	numbered := func(body string) string {
		var b strings.Builder
		b.WriteString("%PDF-1.7\n")
		for i := range many {
			fmt.Fprintf(&b, "%d 0 obj\n%s\n", i+1, strings.ReplaceAll(body, "NEXT", fmt.Sprint(i+2)))
		}
		return b.String()
	}
	for name, text := range map[string]string{
		"streams without an end":       numbered("<</Type/Page/Length NEXT 0 R>>stream"),
		"strings without an end":       numbered("(open"),
		"trailers":                     "1 0 obj" + strings.Repeat("trailer<</A(", many),
		"dictionaries without an end":  numbered("<</Type/Page/A<</B[<<"),
		"lengths in object streams":    numbered("<</Type/ObjStm/N 1/First 4/Length NEXT 0 R>>stream\n9 0 1\nendstream"),
		"object streams that extend":   numbered("<</Type/ObjStm/N 1/First 4/Extends NEXT 0 R/Length 6>>stream\n9 0 1 \nendstream"),
		"a page tree like a net":       numbered("<</Type/Catalog/Pages NEXT 0 R/Kids[NEXT 0 R NEXT 0 R NEXT 0 R]>>"),
		"a chain of references":        numbered("NEXT 0 R"),
		"parents that never end":       numbered("<</Type/Page/Parent NEXT 0 R>>"),
		"brackets":                     "1 0 obj" + strings.Repeat("[", many*10),
		"names":                        "1 0 obj" + strings.Repeat("<</A", many*10),
		"comments":                     "1 0 obj" + strings.Repeat("%\n", many*10),
		"many sections":                "%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 1 0 R>>endobj xref 0 0 trailer<</Root 1 0 R/Prev 9>>startxref 52\n",
		"a table of a billion entries": "1 0 obj<</Type/Catalog>>endobj xref 0 1000000000\n0000000000 65535 f \nstartxref 31",
	} {
		t.Run(name, func(t *testing.T) {
			d, err := Open(strings.NewReader(text), int64(len(text)), Limits{})
			if err != nil {
				t.Log(err)
				return
			}
			n, err := d.PageCount()
			t.Log(n, err, d.damage.Notes())
			if _, err := d.Page(0); err == nil {
				t.Log(copyPage(d, io.Discard, nil))
			}
		})
	}
}
