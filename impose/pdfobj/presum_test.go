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
	copied := func(presum bool) ([]byte, map[Ref][32]byte) {
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
		root, sums := w.Alloc(), map[Ref][32]byte{}
		c := NewCopier(doc, w)
		c.OnStream = func(s StreamCopy) { sums[s.Source] = s.SHA256 }
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
		return file.Bytes(), sums
	}
	plain, sums := copied(false)
	ahead, sumsAhead := copied(true)
	if !bytes.Equal(plain, ahead) {
		t.Error("the files differ")
	}
	if len(sums) != 2 || len(sumsAhead) != 2 {
		t.Fatalf("%d and %d streams were copied", len(sums), len(sumsAhead))
	}
	for ref, sum := range sums {
		if sumsAhead[ref] != sum {
			t.Errorf("object %d: another sum", ref.Num)
		}
	}
}
