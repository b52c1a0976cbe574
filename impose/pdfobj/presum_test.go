package pdfobj

import (
	"bytes"
	"crypto/sha256"
	"math/rand/v2"
	"testing"
)

// A stream whose sum was worked out ahead is copied as any other, and its sum is the
// one that the copy has; a short one isn't worth it.
func TestPresumChangesNothing(t *testing.T) {
	long, short := make([]byte, presumLeast+12345), []byte("0 g 0 0 9 9 re f")
	random := rand.NewChaCha8([32]byte{1})
	random.Read(long)
	source := func() (*Document, []Ref) {
		var file bytes.Buffer
		w, err := NewWriter(&file, WriterOptions{})
		if err != nil {
			t.Fatal(err)
		}
		root := w.Alloc()
		refs := []Ref{w.Alloc(), w.Alloc()}
		for i, data := range [][]byte{long, short} {
			if err := w.PutStream(refs[i], Dict{}, bytes.NewReader(data), int64(len(data)), false); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Put(root, Dict{"Type": Name("Catalog"), "All": Array{refs[0], refs[1]}}); err != nil {
			t.Fatal(err)
		}
		if err := w.Close(root, Ref{}); err != nil {
			t.Fatal(err)
		}
		doc, err := Open(bytes.NewReader(file.Bytes()), int64(file.Len()), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		return doc, refs
	}
	copied := func(presum bool) []byte {
		doc, refs := source()
		for _, ref := range refs {
			if presum {
				Presum(doc, doc.Stream(ref))
				Presum(doc, doc.Stream(ref)) // once more does no harm
			}
		}
		if s := doc.presums.of(doc.Stream(refs[0])); (s != nil) != presum || presum && *s != sha256.Sum256(long) {
			t.Fatalf("presum %t: the sum is %x", presum, s)
		}
		if doc.presums.of(doc.Stream(refs[1])) != nil {
			t.Error("a short stream was summed ahead")
		}
		var file bytes.Buffer
		w, err := NewWriter(&file, WriterOptions{})
		if err != nil {
			t.Fatal(err)
		}
		root := w.Alloc()
		c := NewCopier(doc, w)
		all, err := c.Copy(doc.Catalog()["All"])
		if err != nil {
			t.Fatal(err)
		}
		if err := w.Put(root, Dict{"Type": Name("Catalog"), "All": all}); err != nil {
			t.Fatal(err)
		}
		if err := w.Close(root, Ref{}); err != nil {
			t.Fatal(err)
		}
		return file.Bytes()
	}
	plain := copied(false)
	if !bytes.Equal(plain, copied(true)) { // with their ids, which are made of all sums
		t.Error("the files differ")
	}
	if n := bytes.Count(plain, []byte("endstream")); n < 2 {
		t.Errorf("%d streams were copied", n)
	}
}
