package verify_test

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/pdfobj"
)

// file is a PDF in memory that a test may damage: every object that the
// trailer reaches, by number, and the data of every stream.
type file struct {
	testing.TB
	objects       map[int]pdfobj.Object
	data          map[int][]byte
	catalog, info pdfobj.Ref
	next          int
}

// opened reads a whole file.
func opened(t testing.TB, path string) *file {
	t.Helper()
	doc, err := pdfobj.OpenFile(path, pdfobj.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	defer doc.Close()
	f := &file{TB: t, objects: map[int]pdfobj.Object{}, data: map[int][]byte{}}
	f.catalog, _ = doc.Trailer()["Root"].(pdfobj.Ref)
	f.info, _ = doc.Trailer()["Info"].(pdfobj.Ref)
	var take func(pdfobj.Object) pdfobj.Object
	take = func(o pdfobj.Object) pdfobj.Object {
		switch v := o.(type) {
		case pdfobj.Ref:
			if _, known := f.objects[v.Num]; known {
				return v
			}
			f.objects[v.Num] = nil
			f.next = max(f.next, v.Num)
			inner, err := doc.Resolve(v)
			if err != nil {
				t.Fatal(err)
			}
			if s, ok := inner.(*pdfobj.Stream); ok {
				raw, err := s.Raw()
				if err != nil {
					t.Fatal(err)
				}
				if f.data[v.Num], err = io.ReadAll(raw); err != nil {
					t.Fatal(err)
				}
				inner = s.Dict.Clone()
				delete(inner.(pdfobj.Dict), "Length")
			}
			f.objects[v.Num] = take(inner)
		case pdfobj.Array:
			a := make(pdfobj.Array, len(v))
			for i, e := range v {
				a[i] = take(e)
			}
			return a
		case pdfobj.Dict:
			d := pdfobj.Dict{}
			for _, k := range v.Keys() {
				d[k] = take(v[k])
			}
			return d
		}
		return o
	}
	take(f.catalog)
	take(f.info)
	return f
}

// save writes the file, objects under their old numbers.
func (f *file) save() string {
	f.Helper()
	var b bytes.Buffer
	w, err := pdfobj.NewWriter(&b, pdfobj.WriterOptions{})
	if err != nil {
		f.Fatal(err)
	}
	for n := 1; n <= f.next; n++ {
		ref := w.Alloc()
		if data, isStream := f.data[n]; isStream {
			err = w.PutStream(ref, f.objects[n].(pdfobj.Dict), bytes.NewReader(data), int64(len(data)), false)
		} else {
			err = w.Put(ref, f.objects[n])
		}
		if err != nil {
			f.Fatal(err)
		}
	}
	if err := w.Close(f.catalog, f.info); err != nil {
		f.Fatal(err)
	}
	path := filepath.Join(f.TempDir(), "damaged.pdf")
	if err := os.WriteFile(path, b.Bytes(), 0o666); err != nil {
		f.Fatal(err)
	}
	return path
}

// get follows keys and indices from an object.
func (f *file) get(o pdfobj.Object, steps ...any) pdfobj.Object {
	f.Helper()
	for _, s := range append([]any{nil}, steps...) {
		switch key := s.(type) {
		case string:
			d, _ := o.(pdfobj.Dict)
			o = d[pdfobj.Name(key)]
		case int:
			a, _ := o.(pdfobj.Array)
			if key >= len(a) {
				f.Fatalf("no element %d in %v", key, o)
			}
			o = a[key]
		}
		for {
			ref, ok := o.(pdfobj.Ref)
			if !ok {
				break
			}
			o = f.objects[ref.Num]
		}
	}
	return o
}

// dict is get for a dictionary, which may be changed.
func (f *file) dict(o pdfobj.Object, steps ...any) pdfobj.Dict {
	f.Helper()
	d, ok := f.get(o, steps...).(pdfobj.Dict)
	if !ok {
		f.Fatalf("%v leads to no dictionary", steps)
	}
	return d
}

func (f *file) root() pdfobj.Dict { return f.dict(f.catalog) }

// page gives the first frame's page.
func (f *file) page() pdfobj.Dict { return f.dict(f.catalog, "Pages", "Kids", 0, "Kids", 0) }

// form gives the dictionary of an artwork's form, and its number.
func (f *file) form(name string) (pdfobj.Dict, int) {
	ref, ok := f.dict(f.page(), "Resources", "XObject")[pdfobj.Name(name)].(pdfobj.Ref)
	if !ok {
		f.Fatalf("there is no form %s", name)
	}
	return f.dict(ref), ref.Num
}

// unpack gives the data of a stream without its Flate filter.
func (f *file) unpack(num int) []byte {
	f.Helper()
	d := f.objects[num].(pdfobj.Dict).Clone()
	s := pdfobj.NewStream(d, f.data[num])
	doc, err := pdfobj.OpenFile("../../testdata/placing/actions.pdf", pdfobj.Limits{}) // any: it lends its filters
	if err != nil {
		f.Fatal(err)
	}
	defer doc.Close()
	r, err := doc.Decoded(s)
	if err != nil {
		f.Fatal(err)
	}
	data, err := io.ReadAll(r)
	if err != nil {
		f.Fatal(err)
	}
	return data
}

// set gives a stream other data, unfiltered.
func (f *file) set(num int, data []byte) {
	f.data[num] = data
	delete(f.objects[num].(pdfobj.Dict), "Filter")
	delete(f.objects[num].(pdfobj.Dict), "DecodeParms")
}

// add makes a new object.
func (f *file) add(o pdfobj.Object) pdfobj.Ref {
	f.next++
	f.objects[f.next] = o
	return pdfobj.Ref{Num: f.next}
}

// content changes the frame's content, which must change.
func (f *file) content(edit func(string) string) {
	f.Helper()
	ref := f.page()["Contents"].(pdfobj.Ref)
	before := string(f.unpack(ref.Num))
	after := edit(before)
	if after == before {
		f.Fatal("the edit changed nothing")
	}
	f.set(ref.Num, []byte(after))
}

// swap changes the first occurrence of a text in the frame's content.
func (f *file) swap(old, new string) {
	f.Helper()
	f.content(func(s string) string { return strings.Replace(s, old, new, 1) })
}

// find gives the first object that is, with its number.
func (f *file) find(is func(pdfobj.Object) bool) (pdfobj.Object, int) {
	f.Helper()
	for n := 1; n <= f.next; n++ {
		if is(f.objects[n]) {
			return f.objects[n], n
		}
	}
	f.Fatal("no such object")
	return nil, 0
}

// has is a dictionary with a value.
func has(key pdfobj.Name, value pdfobj.Object) func(pdfobj.Object) bool {
	return func(o pdfobj.Object) bool {
		d, ok := o.(pdfobj.Dict)
		return ok && d[key] == value
	}
}
