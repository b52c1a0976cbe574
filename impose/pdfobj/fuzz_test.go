package pdfobj

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"time"
)

// hostile are the limits that fuzzing runs under, so that a file that takes
// too much shows as such and not as a slow run.
func hostile(t testing.TB) Limits {
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	t.Cleanup(cancel)
	return Limits{Context: ctx, MaxDecoded: 1 << 20, MaxPages: 1000, MaxObjects: 10_000}
}

// FuzzOpen reads whatever comes, copies its first page and expects to read
// the copy without mending.
func FuzzOpen(f *testing.F) {
	f.Add([]byte(simple().String()))
	f.Add([]byte(strings.Replace(simple().String(), "startxref", "startxyz", 1)))
	f.Add(onePage(f, "0 g"))
	f.Add([]byte(secret()))
	f.Add([]byte(withResources("/Resources<</XObject<</X 5 0 R>>>>", packed("/Extends 5 0 R", 6, "<</A 1>>", 7, "[]")).String()))
	g := simple()
	g.trailer = "/Prev 9/XRefStm 9/Encrypt<</Filter/Standard/V 1/R 2/O<" + strings.Repeat("00", 32) + ">/U<" + strings.Repeat("00", 32) + ">>>"
	f.Add([]byte(g.String()))
	f.Fuzz(func(t *testing.T, data []byte) {
		opt := hostile(t)
		d, err := Open(bytes.NewReader(data), int64(len(data)), opt)
		if err != nil {
			return
		}
		if _, err := d.PageCount(); err != nil && !errors.Is(err, ErrBudget) {
			t.Fatal(err)
		}
		if p, err := d.Page(0); err == nil {
			s := NewContentScanner(d.Content(p.Dict["Contents"]))
			for s.Next() {
				s.Operation()
			}
			if err := s.Err(); err != nil && !errors.Is(err, ErrBudget) && !errors.Is(err, errTokenTooLong) {
				t.Fatal(err)
			}
		}
		var out bytes.Buffer
		if err := copyPage(d, &out, nil); err != nil {
			if opt.Context.Err() != nil {
				t.Fatal("it took more than 5 seconds")
			}
			if errors.Is(err, ErrNoPage) || errors.Is(err, ErrBudget) || errors.Is(err, errTooDeep) {
				return
			}
			t.Fatal(err)
		}
		again, err := Open(bytes.NewReader(out.Bytes()), int64(out.Len()), hostile(t))
		if err != nil {
			t.Fatalf("the copy: %v", err)
		}
		if n, err := again.PageCount(); n != 1 || err != nil {
			t.Fatalf("the copy has %d pages, %v", n, err)
		}
		if notes := again.damage.Notes(); len(notes) > 0 && !strings.Contains(strings.Join(notes, " "), "a chain of references") {
			t.Fatalf("the copy needed mending: %q", notes)
		}
	})
}

// FuzzLexer expects that what the parser makes of any text is written so
// that it reads back as the same, as an object and as content.
func FuzzLexer(f *testing.F) {
	for _, s := range []string{"<</A[1 -2.5(str\\(ing\\051)<4E6>]/B#20 12 0 R>>", "[--3 4.-5 +.5 1e5 99999999999999999999]", "q 1 0 0 1 0 0 cm BI /W 1 /H 1 ID x EI Q", "BI/W 2/H 1/BPC 8/CS/RGB/F[/A85/Fl] ID abcdef EI"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p := parser{lexer: newBytesLexer(data), maxDepth: 100}
		o, err := p.object(0)
		if err == nil {
			text, err := AppendObject(nil, o)
			if err != nil {
				t.Fatal(err)
			}
			back := parser{lexer: newBytesLexer(text), maxDepth: 100}
			o2, err := back.object(0)
			if err != nil {
				t.Fatalf("%q: %v", text, err)
			}
			text2, err := AppendObject(nil, o2)
			if err != nil || !bytes.Equal(text, text2) {
				t.Fatalf("%q became %q, %v", text, text2, err)
			}
		}
		// However the bytes arrive, the operations are the same.
		whole := operations(t, bytes.NewReader(data))
		if dripped := operations(t, &drip{data}); whole != dripped {
			t.Fatalf("got\n%s\nin small pieces\n%s", whole, dripped)
		}
	})
}

func operations(t *testing.T, r io.Reader) string {
	var out []byte
	s := NewContentScanner(r)
	for s.Next() {
		for _, o := range s.Operation().Operands {
			if image, ok := o.(*Stream); ok {
				o = image.Dict
			}
			var err error
			if out, err = AppendObject(out, o); err != nil {
				t.Fatal(err)
			}
			out = append(out, ' ')
		}
		out = append(out, s.Operation().Operator...)
		out = append(out, '\n')
	}
	if s.Err() != nil && s.Err() != errTokenTooLong {
		t.Fatal(s.Err())
	}
	return string(out)
}

// drip yields one byte at a time.
type drip struct{ data []byte }

func (d *drip) Read(p []byte) (int, error) {
	if len(d.data) == 0 {
		return 0, io.EOF
	}
	p[0] = d.data[0]
	d.data = d.data[1:]
	return 1, nil
}

// FuzzRoundTrip writes a string, a name, numbers and a stream made of any
// bytes and expects to read them back.
func FuzzRoundTrip(f *testing.F) {
	f.Add([]byte("Gold\xc2\xa0Foil"), int64(-1), 0.1, true)
	f.Add([]byte("endstream endobj ( \\ # / %"), int64(1<<62), -1e-9, false)
	f.Fuzz(func(t *testing.T, data []byte, n int64, x float64, compress bool) {
		var out bytes.Buffer
		w, err := NewWriter(&out, WriterOptions{})
		if err != nil {
			t.Fatal(err)
		}
		catalog, s := w.Alloc(), w.Alloc()
		if err := w.PutStream(s, Dict{Name(data): Integer(n)}, bytes.NewReader(data), -1, compress); err != nil {
			if compress && (string(data) == "Filter" || string(data) == "DecodeParms") {
				return
			}
			t.Fatal(err)
		}
		want := Dict{"Type": Name("Catalog"), "S": s, "Values": Array{String(data), Name(data), Integer(n), real(x), nil}}
		err = w.Put(catalog, want)
		if x != x || x-x != 0 {
			if err == nil {
				t.Fatalf("%v was written", x)
			}
			return
		}
		if err == nil {
			err = w.Close(catalog, Ref{})
		}
		if err != nil {
			t.Fatal(err)
		}
		d, err := Open(bytes.NewReader(out.Bytes()), int64(out.Len()), hostile(t))
		if err != nil {
			t.Fatal(err)
		}
		values := d.Array(d.Catalog()["Values"])
		if len(values) != 5 || values[0] != String(data) || values[1] != Name(data) || values[2] != Integer(n) || values[4] != nil {
			t.Fatalf("%#v", values)
		}
		if got, ok := d.Number(values[3]); !ok || got != x && (x < 1e38 && x > -1e38) {
			t.Fatalf("%v read as %v", x, got)
		}
		raw, err := d.Stream(s).Raw()
		if compress {
			raw, err = d.Decoded(d.Stream(s))
		}
		if err != nil {
			if string(data) == "Filter" || string(data) == "F" {
				return // then it has a filter that is a number
			}
			t.Fatal(err)
		}
		if got, err := io.ReadAll(raw); err != nil || !bytes.Equal(got, data) {
			t.Fatalf("%q, %v", got, err)
		}
	})
}
