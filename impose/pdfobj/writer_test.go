package pdfobj

import (
	"bytes"
	"io"
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
	d, err := Open(bytes.NewReader(data), int64(len(data)), Options{})
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
	if notes := d.Repaired(); len(notes) > 0 {
		t.Errorf("our own file needed mending: %q", notes)
	}
	if !bytes.Equal(data, onePage(t, content)) {
		t.Error("the same calls gave other bytes")
	}
}
