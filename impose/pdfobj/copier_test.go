package pdfobj

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/witness"
)

// copied copies page 1 of a file, as a page of a new file.
func copied(t testing.TB, d *Document, edit func(*Copier)) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := copyPage(d, &out, edit); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func copyPage(d *Document, out io.Writer, edit func(*Copier)) error {
	p, err := d.Page(0)
	if err != nil {
		return err
	}
	w, err := NewWriter(out, WriterOptions{})
	if err != nil {
		return err
	}
	delete(p.Dict, "Kids") // a damaged page may look like a node
	c := NewCopier(d, w)
	if edit != nil {
		edit(c)
	}
	o, err := c.Copy(p.Dict)
	if err != nil {
		return err
	}
	page := o.(Dict)
	catalog, pages, ref := w.Alloc(), w.Alloc(), w.Alloc()
	page["Parent"] = pages
	for _, put := range []struct {
		ref Ref
		o   Object
	}{
		{catalog, Dict{"Type": Name("Catalog"), "Pages": pages}},
		{pages, Dict{"Type": Name("Pages"), "Kids": Array{ref}, "Count": Integer(1)}},
		{ref, page},
	} {
		if err := w.Put(put.ref, put.o); err != nil {
			return err
		}
	}
	return w.Close(catalog, Ref{})
}

// withResources is a file whose page has the given entries and objects from
// number 5 on.
func withResources(page string, objects ...string) *file {
	f := simple()
	f.objects[2] = "<</Type/Page/Parent 2 0 R/Contents 4 0 R" + page + ">>"
	f.objects = append(f.objects, objects...)
	return f
}

// page returns the text of page 1 of a copy with its references followed, so
// that object numbers do not matter.
func spelled(t *testing.T, d *Document, o Object, depth int) string {
	t.Helper()
	if depth > 12 {
		return "..."
	}
	v, err := d.Resolve(o)
	if err != nil {
		t.Fatal(err)
	}
	switch v := v.(type) {
	case Dict:
		s := "<<"
		for _, k := range v.Keys() {
			if k != "Parent" || depth > 0 {
				s += "/" + string(k) + " " + spelled(t, d, v[k], depth+1) + " "
			}
		}
		return s + ">>"
	case Array:
		s := "["
		for _, e := range v {
			s += spelled(t, d, e, depth+1) + " "
		}
		return s + "]"
	case *Stream:
		raw, err := v.Raw()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(raw)
		if err != nil {
			t.Fatal(err)
		}
		return spelled(t, d, without(v.Dict, "Length"), depth+1) + fmt.Sprintf("stream(%s)", data)
	}
	text, err := AppendObject(nil, v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestCopyLeavesOutWhatLeadsAway(t *testing.T) {
	f := withResources("/StructParents 3/Resources<</XObject<</Parent 5 0 R/StructParent 5 0 R/Pg 3 0 R>>>>/Annots[6 0 R]",
		stream("/Type/XObject/Subtype/Form/StructParent 4/StructParents 5", "0 g"),
		"<</Subtype/Widget/P 3 0 R/Parent 7 0 R/Dest[3 0 R/Fit]/Popup 8 0 R/Gone 99 0 R>>",
		"<</FT/Btn/Kids[6 0 R]>>",
		"<</Subtype/Popup/Parent 6 0 R>>")
	d := open(t, copied(t, open(t, []byte(f.String())), nil))
	p, err := d.Page(0)
	if err != nil {
		t.Fatal(err)
	}
	form := `<</Subtype /Form /Type /XObject >>stream(0 g)`
	want := `[<</Dest [null /Fit ]/Popup <</Parent`
	got := spelled(t, d, p.Dict["Annots"], 0)
	if !strings.HasPrefix(strings.ReplaceAll(got, "] /Popup", "]/Popup"), want) || strings.Contains(got, "/FT") {
		t.Errorf("annotations: %s", got)
	}
	if got, want := spelled(t, d, p.Dict["Resources"], 1), "<</XObject <</Parent "+form+" /StructParent "+form+" >> >>"; got != want {
		t.Errorf("resources:\n%s\nwant\n%s", got, want)
	}
	if p.Dict["StructParents"] != nil {
		t.Error("StructParents was copied")
	}
	if n, _ := d.PageCount(); n != 1 || len(d.damage.Notes()) > 0 {
		t.Errorf("%d pages, notes %q", n, d.damage.Notes())
	}
}

func TestCopyOfSharedAndCircularObjects(t *testing.T) {
	f := withResources("/A 5 0 R/B 5 0 R/C 6 0 R", "[(shared)]", "<</Self 6 0 R/Other 7 0 R>>", "<</Back 6 0 R>>")
	var out bytes.Buffer
	d := open(t, []byte(f.String()))
	w, err := NewWriter(&out, WriterOptions{})
	if err != nil {
		t.Fatal(err)
	}
	c := NewCopier(d, w)
	p, err := d.Page(0)
	if err != nil {
		t.Fatal(err)
	}
	first, err := c.Copy(p.Dict)
	if err != nil {
		t.Fatal(err)
	}
	second, err := c.Copy(p.Dict)
	if err != nil {
		t.Fatal(err)
	}
	a, b := first.(Dict), second.(Dict)
	if a["A"] != a["B"] || a["A"] != b["A"] || a["C"] != b["C"] || a["A"] == a["C"] {
		t.Errorf("%v, %v", a, b)
	}
	if r, ok := c.Placed(Ref{Num: 5}); !ok || r != a["A"] {
		t.Errorf("Placed(5) = %v, %v", r, ok)
	}
	if _, ok := c.Placed(Ref{Num: 3}); ok {
		t.Error("the page itself was placed")
	}
}

func TestReplace(t *testing.T) {
	f := withResources("/Resources<</ColorSpace<</Cs1 5 0 R/Cs2[/Separation/Die/DeviceCMYK 7 0 R]>>/XObject<</X 6 0 R>>>>",
		"[/Separation/Gold/DeviceCMYK 7 0 R]",
		stream("/Subtype/Form/Resources<</ColorSpace<</Cs1 5 0 R>>>>", "form"),
		"<</FunctionType 2/N 1/C0[0 0 0 0]/C1[0 .2 1 .1]>>")
	source := open(t, []byte(f.String()))
	before := spelled(t, source, source.Trailer()["Root"], 0)
	data := copied(t, source, func(c *Copier) {
		black := Placed(c.w.Alloc())
		if err := c.w.Put(Ref(black), Name("DeviceCMYK")); err != nil {
			t.Fatal(err)
		}
		c.Replace = func(ref Ref, o Object) (Object, bool) {
			a, ok := o.(Array)
			if !ok || len(a) < 4 || a[0] != Name("Separation") {
				return nil, false
			}
			name := a[1]
			switch name {
			case Name("Gold"):
				name = Name("Pale Gold")
			case Name("Die"):
				name = Name("None")
			default:
				t.Errorf("asked about %v again", a)
			}
			if (ref == Ref{Num: 5}) != (name == Name("Pale Gold")) {
				t.Errorf("asked about %v with reference %v", a, ref)
			}
			return Array{a[0], name, black, a[3]}, true
		}
	})
	d := open(t, data)
	p, err := d.Page(0)
	if err != nil {
		t.Fatal(err)
	}
	tint := "<</C0 [0 0 0 0 ] /C1 [0 .2 1 .1 ] /FunctionType 2 /N 1 >>"
	gold, none := "[/Separation /Pale#20Gold /DeviceCMYK "+tint+" ]", "[/Separation /None /DeviceCMYK "+tint+" ]"
	want := "<</ColorSpace <</Cs1 " + gold + " /Cs2 " + none + " >> /XObject <</X <</Resources <</ColorSpace <</Cs1 " + gold + " >> >> /Subtype /Form >>stream(form) >> >>"
	if got := spelled(t, d, p.Dict["Resources"], 1); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if after := spelled(t, source, source.Trailer()["Root"], 0); after != before {
		t.Error("copying changed the source's objects")
	}
}

func TestStreamsAreCopiedByteForByte(t *testing.T) {
	// None of this decodes, which must not matter.
	bodies := map[string]string{
		"/Filter/DCTDecode":                  "\xff\xd8 not really \xff\xd9",
		"/Filter/FlateDecode":                "not deflate\x00\r\n",
		"/Filter[/A85/Nonsense]":             "endstrea",
		"/Filter/JPXDecode/Length 3":         strings.Repeat("\x00\xff", 100_000),
		"/Filter/JBIG2Decode/DecodeParms 99": "",
	}
	f := withResources("")
	page := "/Streams["
	for dict, data := range bodies {
		f.objects = append(f.objects, stream(dict, data))
		page += fmt.Sprintf("%d 0 R ", len(f.objects))
	}
	f.objects[2] = "<</Type/Page/Parent 2 0 R" + page + "]>>"
	d := open(t, copied(t, open(t, []byte(f.String())), nil))
	out, err := d.Page(0)
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for _, o := range d.Array(out.Dict["Streams"]) {
		raw, err := d.Stream(o).Raw()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(raw)
		if err != nil {
			t.Fatal(err)
		}
		found[string(data)] = true
	}
	for _, data := range bodies {
		if !found[data] {
			t.Errorf("%.20q: not among the streams", data)
		}
	}
	if len(found) != len(bodies) {
		t.Errorf("%d streams", len(found))
	}
}

// Following references must not grow the stack.
func TestCopyOfALongChain(t *testing.T) {
	links := trials.Number(t, "", 30_000, 100_000)
	if testing.Short() {
		links = 10_000
	}
	f := withResources("/Next 5 0 R")
	for i := range links {
		f.objects = append(f.objects, fmt.Sprintf("<</Next %d 0 R/Prev %d 0 R>>", 6+i, 4+i))
	}
	f.objects = append(f.objects, "(end)")
	d := open(t, copied(t, open(t, []byte(f.String())), nil))
	o := mustPage(t, d).Dict["Next"]
	n := 0
	for ; ; n++ {
		dict := d.Dict(o)
		if dict == nil {
			break
		}
		o = dict["Next"]
	}
	if s, _ := d.String(o); n != links || s != "end" {
		t.Errorf("%d links to %v", n, o)
	}
}

func mustPage(t testing.TB, d *Document) *Page {
	t.Helper()
	p, err := d.Page(0)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Programs that share no code with us must have no complaint, and see the
// same picture.
func TestCopyBeforeWitnesses(t *testing.T) {
	f := withResources("/Resources<</ColorSpace<</Cs1 5 0 R>>/XObject<</X 7 0 R>>>>",
		"[/Separation/Gold#20Foil/DeviceCMYK 6 0 R]",
		"<</FunctionType 2/Domain[0 1]/N 1/C0[0 0 0 0]/C1[0 .2 1 .1]>>",
		stream("/Type/XObject/Subtype/Form/BBox[0 0 50 50]/Resources<</ColorSpace<</Cs1 5 0 R>>>>", "/Cs1 cs 1 scn 0 0 50 50 re f"))
	f.objects[3] = stream("", testContent+" q 1 0 0 1 20 30 cm /X Do Q /Cs1 cs .5 scn 0 0 20 20 re f")
	dir := t.TempDir()
	before, after := filepath.Join(dir, "before.pdf"), filepath.Join(dir, "after.pdf")
	if err := os.WriteFile(before, []byte(f.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	d, err := OpenFile(before, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if err := os.WriteFile(after, copied(t, d, nil), 0o600); err != nil {
		t.Fatal(err)
	}
	witness.QPDFCheck(t, after)
	witness.NoComplaint(t, after)
	for name, render := range map[string]func() witness.Difference{
		"MuPDF": func() witness.Difference {
			return witness.Compare(witness.MuPDF(t, before, 1, 72), witness.MuPDF(t, after, 1, 72), witness.Tolerance{})
		},
		"Poppler": func() witness.Difference {
			return witness.Compare(witness.Poppler(t, before, 1, 72), witness.Poppler(t, after, 1, 72), witness.Tolerance{})
		},
	} {
		if diff := render(); diff.Largest != 0 || diff.Pixels != 100*100 {
			t.Errorf("%s: %v", name, diff)
		}
	}
}

// Placed returns the new reference of an object that has been copied.
func (c *Copier) Placed(source Ref) (Ref, bool) {
	target := c.placed.get(source)
	return target, !target.IsZero()
}
