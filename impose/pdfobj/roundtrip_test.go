package pdfobj

import (
	"bytes"
	"fmt"
	"io"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// objects draws direct objects, references among the first n objects
// included. Null values in dictionaries are left out, for the reader leaves
// them out.
func objects(n int) *rapid.Generator[Object] {
	leaf := rapid.OneOf(
		rapid.Just[Object](nil),
		rapid.Map(rapid.Bool(), func(v bool) Object { return v }),
		rapid.Map(rapid.Int64(), func(v int64) Object { return Integer(v) }),
		rapid.Map(rapid.Float64Range(-1e6, 1e6), func(v float64) Object { return real(v) }),
		rapid.Map(rapid.SliceOf(rapid.Byte()), func(v []byte) Object { return String(v) }),
		rapid.Map(rapid.String(), func(v string) Object { return String(v) }),
		rapid.Map(rapid.SliceOf(rapid.Byte()), func(v []byte) Object { return Name(v) }),
		rapid.Map(rapid.StringMatching(`[A-Za-z0-9]{1,8}`), func(v string) Object { return Name(v) }),
		rapid.Map(rapid.IntRange(1, n), func(v int) Object { return Ref{Num: v} }),
	)
	return nested(leaf, 3)
}

func nested(leaf *rapid.Generator[Object], depth int) *rapid.Generator[Object] {
	if depth == 0 {
		return leaf
	}
	inner := nested(leaf, depth-1)
	return rapid.OneOf(leaf,
		rapid.Map(rapid.SliceOfN(inner, 0, 6), func(v []Object) Object { return Array(v) }),
		rapid.Map(rapid.MapOfN(rapid.StringN(0, 10, 20), inner, 0, 6), func(m map[string]Object) Object {
			d := Dict{}
			for k, v := range m {
				if v != nil {
					d[Name(k)] = v
				}
			}
			return d
		}))
}

// real is a number as it reads back: without a fraction it is an Integer.
func real(v float64) Object {
	if v == float64(int64(v)) {
		return Integer(v)
	}
	return Real(v)
}

// What is written reads back equal, and what is read, copied and written
// again too.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const n = 20
		bodies := rapid.SliceOfN(objects(n), n-3, n-3).Draw(t, "objects")
		data := rapid.SliceOf(rapid.Byte()).Draw(t, "data")
		compress := rapid.Bool().Draw(t, "compress")
		length := int64(-1)
		if rapid.Bool().Draw(t, "length") {
			length = int64(len(data))
		}
		var out bytes.Buffer
		w, err := NewWriter(&out, WriterOptions{})
		if err != nil {
			t.Fatal(err)
		}
		for range n {
			w.Alloc()
		}
		all := Array{}
		for i, o := range bodies {
			if err := w.Put(Ref{Num: i + 1}, o); err != nil {
				t.Fatal(err)
			}
			all = append(all, Ref{Num: i + 1})
		}
		stream, catalog := Ref{Num: n}, Ref{Num: n - 1}
		if err := w.PutStream(stream, Dict{"Key": Array{Integer(1)}}, bytes.NewReader(data), length, compress); err != nil {
			t.Fatal(err)
		}
		if err := w.Put(Ref{Num: n - 2}, all); err != nil {
			t.Fatal(err)
		}
		if err := w.Put(catalog, Dict{"Type": Name("Catalog"), "All": Ref{Num: n - 2}, "S": stream}); err != nil {
			t.Fatal(err)
		}
		if err := w.Close(catalog, Ref{}); err != nil {
			t.Fatal(err)
		}
		d, err := Open(bytes.NewReader(out.Bytes()), int64(out.Len()), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range bodies {
			if _, isRef := want.(Ref); isRef {
				continue // Get follows it
			}
			got, err := d.objects.get(Ref{Num: i + 1})
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Fatalf("object %d: %#v, want %#v, %v", i+1, got, want, err)
			}
		}
		r, err := d.Decoded(d.Stream(stream))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(r); err != nil || !bytes.Equal(got, data) {
			t.Fatalf("stream: %q, %v", got, err)
		}
		if notes := d.damage.Notes(); len(notes) > 0 && !chained(notes) {
			t.Fatalf("notes %q", notes)
		}
		once := recopied(t, out.Bytes())
		if twice := recopied(t, once); !bytes.Equal(once, twice) {
			t.Fatal("a copy of a copy differs from the copy")
		}
	})
}

// chained says whether the only notes are about references that form a ring,
// which random objects do.
func chained(notes []string) bool {
	for _, n := range notes {
		var num int
		if _, err := fmt.Sscanf(n, "object %d: a chain of references", &num); err != nil {
			return false
		}
	}
	return true
}

// recopied copies all that the catalog leads to.
func recopied(t *rapid.T, data []byte) []byte {
	d, err := Open(bytes.NewReader(data), int64(len(data)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w, err := NewWriter(&out, WriterOptions{})
	if err != nil {
		t.Fatal(err)
	}
	root, err := NewCopier(d, w).Copy(d.Trailer()["Root"])
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Close(root.(Ref), Ref{}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
