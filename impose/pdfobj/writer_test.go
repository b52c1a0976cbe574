package pdfobj

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
)

// onePage writes a file with one page of the given content.
func onePage(t testing.TB, content string) []byte {
	t.Helper()
	var out bytes.Buffer
	w, err := NewWriter(&out, WriterOptions{})
	if err != nil {
		t.Fatal(err)
	}
	catalog, pages, page, stream := w.Alloc(), w.Alloc(), w.Alloc(), w.Alloc()
	put := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	put(w.Put(catalog, Dict{"Type": Name("Catalog"), "Pages": pages}))
	put(w.Put(pages, Dict{"Type": Name("Pages"), "Kids": Array{page}, "Count": Integer(1)}))
	put(w.Put(page, Dict{"Type": Name("Page"), "Parent": pages, "Contents": stream, "Resources": Dict{},
		"MediaBox": Array{Integer(0), Integer(0), Integer(200), Real(100.5)}}))
	put(w.PutStream(stream, Dict{}, strings.NewReader(content), -1, true))
	put(w.Close(catalog, Ref{}))
	return out.Bytes()
}

func open(t testing.TB, data []byte) *Document {
	t.Helper()
	d, err := Open(bytes.NewReader(data), int64(len(data)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestWriteAndRead(t *testing.T) {
	const content = "0 1 0 rg 10 10 50 50 re f"
	data := onePage(t, content)
	d := open(t, data)
	if n, err := d.PageCount(); n != 1 || err != nil {
		t.Fatalf("PageCount() = %d, %v", n, err)
	}
	p, err := d.Page(0)
	if err != nil {
		t.Fatal(err)
	}
	if box, ok := d.Numbers(p.Dict["MediaBox"]); !ok || box[3] != 100.5 {
		t.Errorf("MediaBox = %v, %v", box, ok)
	}
	got, err := io.ReadAll(d.Content(p.Dict["Contents"]))
	if err != nil || strings.TrimSpace(string(got)) != content {
		t.Errorf("content = %q, %v", got, err)
	}
	if notes := d.damage.Notes(); len(notes) > 0 {
		t.Errorf("our own file needed mending: %q", notes)
	}
	if !bytes.Equal(data, onePage(t, content)) {
		t.Error("the same calls gave other bytes")
	}
}

// Streams of unknown length: short ones state it, long ones point to it.
func TestStreamLengths(t *testing.T) {
	for _, size := range []int{0, 1, spoolLimit, spoolLimit + 1, 3 * spoolLimit} {
		for _, length := range []int64{-1, int64(size)} {
			for _, compress := range []bool{false, true} {
				data := make([]byte, size)
				for i := range data {
					data[i] = byte(i*i>>8) ^ byte(i*2654435761>>13)
				}
				var out bytes.Buffer
				w, err := NewWriter(&out, WriterOptions{Version: "1.7", Level: 1})
				if err != nil {
					t.Fatal(err)
				}
				ref, catalog := w.Alloc(), w.Alloc()
				if err := w.PutStream(ref, Dict{"Length": Name("ignored")}, bytes.NewReader(data), length, compress); err != nil {
					t.Fatal(err)
				}
				if err := w.Put(catalog, Dict{"Type": Name("Catalog"), "Pages": Dict{}, "Stream": ref}); err != nil {
					t.Fatal(err)
				}
				if err := w.Close(catalog, catalog); err != nil {
					t.Fatal(err)
				}
				d := open(t, out.Bytes())
				r, err := d.Decoded(d.Stream(d.Catalog()["Stream"]))
				if err != nil {
					t.Fatal(err)
				}
				got, err := io.ReadAll(r)
				if err != nil || !bytes.Equal(got, data) || len(d.damage.Notes()) > 0 {
					t.Errorf("%d bytes, stated %d, compressed %v: %d bytes, %v, %q", size, length, compress, len(got), err, d.damage.Notes())
				}
				if d.Version() != "1.7" || d.Trailer()["Info"] != d.Trailer()["Root"] {
					t.Errorf("version %s, trailer %v", d.Version(), d.Trailer())
				}
			}
		}
	}
}

func TestWriterRefusesWhatIsWrong(t *testing.T) {
	loop := Dict{}
	loop["Loop"] = Array{loop}
	for _, c := range []struct {
		name string
		do   func(w *Writer) error
		want string
	}{
		{"never reserved", func(w *Writer) error { return w.Put(Ref{Num: 9}, nil) }, "object 9 0 was not reserved"},
		{"zero reference", func(w *Writer) error { return w.Put(Ref{}, nil) }, "was not reserved"},
		{"twice", func(w *Writer) error { r := w.Alloc(); w.Put(r, nil); return w.Put(r, nil) }, "object 1 was written before"},
		{"never written", func(w *Writer) error { r := w.Alloc(); w.Alloc(); w.Put(r, Dict{}); return w.Close(r, Ref{}) }, "object 2 was reserved and never written"},
		{"no catalog", func(w *Writer) error { return w.Close(Ref{}, Ref{}) }, "no catalog"},
		{"not a number", func(w *Writer) error { return w.Put(w.Alloc(), Array{Real(math.NaN())}) }, "object 1: a number is infinite"},
		{"infinite", func(w *Writer) error { return w.Put(w.Alloc(), Dict{"A": Real(math.Inf(-1))}) }, "object 1: a number is infinite"},
		{"Go int", func(w *Writer) error { return w.Put(w.Alloc(), Array{1}) }, "object 1: int is no PDF object"},
		{"direct stream", func(w *Writer) error { return w.Put(w.Alloc(), Array{NewStream(nil, nil)}) }, "cannot be a direct object"},
		{"contains itself", func(w *Writer) error { return w.Put(w.Alloc(), loop) }, "nested too deeply"},
		{"bad stream dictionary", func(w *Writer) error {
			return w.PutStream(w.Alloc(), Dict{"A": 1}, strings.NewReader(""), 0, false)
		}, "object 1: int is no PDF object"},
		{"compressed twice", func(w *Writer) error {
			return w.PutStream(w.Alloc(), Dict{"Filter": Name("DCTDecode")}, strings.NewReader(""), 0, true)
		}, "has a filter already"},
		{"too few bytes", func(w *Writer) error { return w.PutStream(w.Alloc(), nil, strings.NewReader("abc"), 4, false) }, "object 1: 4 bytes of a stream were announced, 3 came"},
		{"too many bytes", func(w *Writer) error { return w.PutStream(w.Alloc(), nil, strings.NewReader("abc"), 2, true) }, "2 bytes of a stream were announced, 3 came"},
		{"broken source", func(w *Writer) error {
			return w.PutStream(w.Alloc(), nil, failing{errors.New("disk on fire")}, -1, false)
		}, "object 1: disk on fire"},
		{"closed", func(w *Writer) error { r := w.Alloc(); w.Put(r, Dict{}); w.Close(r, Ref{}); return w.Close(r, Ref{}) }, "is closed"},
	} {
		w, err := NewWriter(io.Discard, WriterOptions{})
		if err != nil {
			t.Fatal(err)
		}
		err = c.do(w)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
		if again := w.Put(w.Alloc(), nil); again == nil || again.Error() != err.Error() {
			t.Errorf("%s: afterwards %v", c.name, again)
		}
	}
	for _, version := range []string{"1.4", "3.0", "x"} {
		if _, err := NewWriter(io.Discard, WriterOptions{Version: version}); err == nil {
			t.Errorf("version %q was taken", version)
		}
	}
	if _, err := NewWriter(io.Discard, WriterOptions{Level: 10}); err == nil {
		t.Error("level 10 was taken")
	}
}

type fullDisk struct{ left int }

var errFull = errors.New("no space left")

func (f *fullDisk) Write(p []byte) (int, error) {
	if len(p) > f.left {
		n := f.left
		f.left = 0
		return n, errFull
	}
	f.left -= len(p)
	return len(p), nil
}

func TestDiskFull(t *testing.T) {
	d := open(t, []byte(simple().String()))
	var whole bytes.Buffer
	if err := copyPage(d, &whole, nil); err != nil {
		t.Fatal(err)
	}
	for left := range whole.Len() {
		if err := copyPage(d, &fullDisk{left}, nil); !errors.Is(err, errFull) {
			t.Fatalf("with %d bytes of %d: %v", left, whole.Len(), err)
		}
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		in   float64
		want string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {1, "1"}, {-1, "-1"}, {.5, ".5"}, {-.5, "-.5"}, {10.25, "10.25"}, {100, "100"},
		{1e-7, ".0000001"}, {1e21, "1000000000000000000000"}, {1.0 / 3, ".3333333333333333"},
	} {
		got, err := AppendNumber([]byte("x"), c.in)
		if err != nil || string(got) != "x"+c.want {
			t.Errorf("%v: %s, %v", c.in, got, err)
		}
	}
	for _, c := range []struct {
		in   float64
		want string
	}{
		{273.54330708661417, "273.543307"}, {-1e-9, "0"}, {963.7795275590551, "963.779528"}, {.9999999, "1"}, {-.0000005, "-.000001"},
	} {
		if got, err := AppendNumber(nil, float64(Round(c.in))); err != nil || string(got) != c.want {
			t.Errorf("Round(%v) = %s, %v", c.in, got, err)
		}
	}
	// A frame is at most 5080 mm long; the error of rounding there is far
	// below a micrometre.
	if e := math.Abs(float64(Round(14399.1234564999))-14399.1234564999) / 72 * 25400; e > .001 {
		t.Errorf("rounding moves a point by %v micrometres", e)
	}
}
