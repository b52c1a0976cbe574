package pdfobj

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
)

// file builds classic PDF files in tests.
type file struct {
	head    string
	objects []string // body of object i+1; "" leaves it out
	trailer string   // entries besides Size and Root
	shift   int      // added to every offset
}

const testContent = "0 0 1 rg 10 10 80 80 re f"

// simple is a file with one page.
func simple() *file {
	return &file{head: "%PDF-1.4\n", objects: []string{
		"<</Type/Catalog/Pages 2 0 R>>",
		"<</Type/Pages/Kids[3 0 R]/Count 1/MediaBox[0 0 100 100]>>",
		"<</Type/Page/Parent 2 0 R/Contents 4 0 R>>",
		stream("", testContent),
	}}
}

// stream is the body of a stream object.
func stream(dict, data string) string {
	return fmt.Sprintf("<<%s/Length %d>>\nstream\n%s\nendstream", dict, len(data), data)
}

func (f *file) String() string {
	var b strings.Builder
	b.WriteString(f.head)
	offsets := make([]int, len(f.objects))
	for i, o := range f.objects {
		if o != "" {
			offsets[i] = b.Len()
			fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
		}
	}
	start := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(f.objects)+1)
	for i, off := range offsets {
		if f.objects[i] == "" {
			b.WriteString("0000000000 00000 f \n")
		} else {
			fmt.Fprintf(&b, "%010d 00000 n \n", off+f.shift)
		}
	}
	fmt.Fprintf(&b, "trailer\n<</Size %d/Root 1 0 R%s>>\nstartxref\n%d\n%%%%EOF\n", len(f.objects)+1, f.trailer, start+f.shift)
	return b.String()
}

// swap replaces old, which must be there, once.
func swap(t *testing.T, s, old, new string) string {
	t.Helper()
	if !strings.Contains(s, old) {
		t.Fatalf("%q is not in the file", old)
	}
	return strings.Replace(s, old, new, 1)
}

// firstContent opens a file and returns the content of its first page.
func firstContent(t *testing.T, text string, opt Limits) (string, *Document) {
	t.Helper()
	d, err := Open(strings.NewReader(text), int64(len(text)), opt)
	if err != nil {
		t.Fatal(err)
	}
	p, err := d.Page(0)
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(d.Content(p.Dict["Contents"]))
	if err != nil {
		t.Fatal(err)
	}
	return string(bytes.TrimSpace(data)), d
}
