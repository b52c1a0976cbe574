package pdfobj

import (
	"fmt"
	"strings"
	"testing"
)

// xrefStream appends an uncompressed cross-reference stream with entries of
// one byte of type, three of offset and one of index.
func xrefStream(b *strings.Builder, num int, index string, entries [][3]int, extra string) {
	start := b.Len()
	var data strings.Builder
	for _, e := range entries {
		fmt.Fprintf(&data, "%c%c%c%c%c", e[0], e[1]>>16&255, e[1]>>8&255, e[1]&255, e[2])
	}
	text := data.String()
	raw := make([]byte, 0, len(text))
	for _, r := range text { // %c wrote runes; the stream holds bytes
		raw = append(raw, byte(r))
	}
	fmt.Fprintf(b, "%d 0 obj\n%s\nendobj\nstartxref\n%d\n%%%%EOF\n", num,
		stream(fmt.Sprintf("/Type/XRef/W[1 3 1]/Size 20/Index[%s]%s", index, extra), string(raw)), start)
}

func (f *file) offsets(b *strings.Builder) map[int]int {
	at := map[int]int{}
	b.WriteString(f.head)
	for i, o := range f.objects {
		if o != "" {
			at[i+1] = b.Len()
			fmt.Fprintf(b, "%d 0 obj\n%s\nendobj\n", i+1, o)
		}
	}
	return at
}

// packed is an object stream holding objects by number.
func packed(extra string, objects ...any) string {
	var head, body strings.Builder
	for i := 0; i < len(objects); i += 2 {
		fmt.Fprintf(&head, "%d %d ", objects[i], body.Len())
		fmt.Fprintf(&body, "%s ", objects[i+1])
	}
	return stream(fmt.Sprintf("/Type/ObjStm/N %d/First %d%s", len(objects)/2, head.Len(), extra), head.String()+body.String())
}

func TestCrossReferenceStreams(t *testing.T) {
	page := "<</Type/Page/Parent 2 0 R/Contents 4 0 R>>"
	build := func(edit func(f *file), entries func(at map[int]int) [][3]int) string {
		f := simple()
		f.objects[2] = ""
		f.objects = append(f.objects, packed("", 3, page, 6, "(six)"))
		if edit != nil {
			edit(f)
		}
		var b strings.Builder
		at := f.offsets(&b)
		xrefStream(&b, 9, "0 7", entries(at), "/Root 1 0 R")
		return b.String()
	}
	sound := func(at map[int]int) [][3]int {
		return [][3]int{{}, {1, at[1]}, {1, at[2]}, {2, 5, 0}, {1, at[4]}, {1, at[5]}, {2, 5, 1}}
	}
	for _, c := range []struct{ name, text, note string }{
		{"sound", build(nil, sound), ""},
		{"index in the object stream wrong", build(nil, func(at map[int]int) [][3]int {
			e := sound(at)
			e[3][2], e[6][2] = 1, 77
			return e
		}), ""},
		{"extends", build(func(f *file) {
			f.objects[4] = packed("/Extends 6 0 R", 7, "(seven)")
			f.objects = append(f.objects, packed("/Extends 5 0 R", 3, page)) // and a loop
		}, func(at map[int]int) [][3]int {
			return [][3]int{{}, {1, at[1]}, {1, at[2]}, {2, 5, 0}, {1, at[4]}, {1, at[5]}, {1, at[6]}}
		}), ""},
		{"object stream missing", build(nil, func(at map[int]int) [][3]int {
			e := sound(at)
			e[3][1] = 8
			return e
		}), "object 3: the cross-reference table was wrong"},
		{"object stream at a wrong place", build(nil, func(at map[int]int) [][3]int {
			e := sound(at)
			e[5][1] = at[4]
			return e
		}), "object 4 stands at its place"},
		{"unknown entry types are null", build(nil, func(at map[int]int) [][3]int {
			e := sound(at)
			e[6][0] = 3
			return e
		}), ""},
		{"section at a wrong place", swap(t, build(nil, sound), "startxref\n", "startxref\n1"), "scanned"},
		{"no section", swap(t, build(nil, sound), "/XRef", "/Xref"), "scanned"},
		{"field widths of 0", swap(t, build(nil, sound), "W[1 3 1]", "W[0 0 0]"), "scanned"},
		{"huge index", swap(t, build(nil, sound), "Index[0 7]", "Index[0 7 8000000 2147483647]"), ""},
		{"the catalog in the object stream, no section", func() string {
			s := build(func(f *file) {
				f.objects[0] = ""
				f.objects[4] = packed("", 3, page, 1, "<</Type/Catalog/Pages 2 0 R>>")
			}, sound)
			return s[:strings.Index(s, "9 0 obj")]
		}(), "scanned"},
		{"a newer plain object hides the packed one", func() string {
			s := build(func(f *file) { f.objects[4] = packed("", 3, page, 4, "(old)") }, sound)
			s = s[:strings.Index(s, "9 0 obj")]
			return s + "4 0 obj" + stream("", testContent) + "endobj"
		}(), "scanned"},
	} {
		t.Run(c.name, func(t *testing.T) {
			content, d := firstContent(t, c.text, Limits{})
			if content != testContent {
				t.Errorf("content %q", content)
			}
			notes := strings.Join(d.damage.Notes(), "\n")
			if c.note == "" && notes != "" || !strings.Contains(notes, c.note) {
				t.Errorf("notes %q, want %q", notes, c.note)
			}
		})
	}
}

// A hybrid file (7.5.8.4): old readers see object 3 as free, new ones look
// into the stream section first.
func TestHybridFile(t *testing.T) {
	f := simple()
	f.objects[2] = ""
	f.objects = append(f.objects, packed("", 3, "<</Type/Page/Parent 2 0 R/Contents 4 0 R>>"))
	var b strings.Builder
	f.offsets(&b)
	at := b.Len()
	xrefStream(&b, 9, "3 1", [][3]int{{2, 5, 0}}, "")
	offset := b.Len()
	b.Reset()
	b.WriteString(f.head)
	f.trailer = fmt.Sprintf("/XRefStm %d", at)
	whole := f.String()
	whole = whole[:strings.Index(whole, "xref\n0")]
	if len(whole) != at {
		t.Fatalf("the test is wrong: what comes first has %d bytes, want %d", len(whole), at)
	}
	b.Reset()
	b.WriteString(whole)
	xrefStream(&b, 9, "3 1", [][3]int{{2, 5, 0}}, "")
	if b.Len() != offset {
		t.Fatalf("the test is wrong: the table stands at %d, want %d", b.Len(), offset)
	}
	tail := f.String()[at:]
	b.WriteString(swap(t, tail, fmt.Sprintf("startxref\n%d", at), fmt.Sprintf("startxref\n%d", offset)))
	content, d := firstContent(t, b.String(), Limits{})
	if content != testContent || len(d.damage.Notes()) > 0 {
		t.Errorf("content %q, notes %q", content, d.damage.Notes())
	}
}

// An incremental update (7.5.6) replaces the content and frees an object.
func TestIncrementalUpdate(t *testing.T) {
	f := simple()
	f.objects = append(f.objects, "(freed later)")
	s := f.String()
	first := strings.Index(s, "xref\n0")
	at := len(s)
	s += "4 0 obj\n" + stream("", "0 g") + "\nendobj\n"
	start := len(s)
	s += fmt.Sprintf("xref\n4 2\n%010d 00000 n \n0000000000 00001 f \ntrailer\n<</Size 6/Root 1 0 R/Prev %d>>\nstartxref\n%d\n%%%%EOF\n", at, first, start)
	content, d := firstContent(t, s, Limits{})
	if content != "0 g" || len(d.damage.Notes()) > 0 {
		t.Errorf("content %q, notes %q", content, d.damage.Notes())
	}
	if o, err := d.objects.get(Ref{Num: 5}); o != nil || err != nil {
		t.Errorf("the freed object is %v, %v", o, err)
	}
}

// Generations: a reference to an older generation points to nothing.
func TestGenerations(t *testing.T) {
	f := simple()
	f.objects = append(f.objects, "(five)")
	s := swap(t, f.String(), "5 0 obj", "5 2 obj")
	at := fmt.Sprintf("%010d 0000", strings.Index(s, "5 2 obj"))
	s = swap(t, s, at+"0 n", at+"2 n")
	d := open(t, []byte(s))
	for gen, want := range map[int]Object{0: nil, 1: nil, 2: String("five")} {
		if o, err := d.objects.get(Ref{5, gen}); o != want || err != nil {
			t.Errorf("generation %d: %v, %v", gen, o, err)
		}
	}
}

func TestReferenceChains(t *testing.T) {
	f := simple()
	for i := range 40 {
		f.objects = append(f.objects, fmt.Sprintf("%d 0 R", 6+i))
	}
	f.objects = append(f.objects, "(end)")
	f.objects = append(f.objects, "47 0 R", "46 0 R")
	d := open(t, []byte(f.String()))
	for num, want := range map[int]Object{45: String("end"), 20: String("end"), 46: nil, 47: nil, 48: nil, -1: nil, 1 << 40: nil} {
		if o, err := d.objects.get(Ref{Num: num}); o != want || err != nil {
			t.Errorf("object %d: %v, %v", num, o, err)
		}
	}
}

// TestSectionThatCountsFromOne: the head of the free list is object 0 (7.5.4),
// so that a section which gives it the number 1 is off by one throughout.
func TestSectionThatCountsFromOne(t *testing.T) {
	const body = "%PDF-1.4\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type/Pages/Kids[]/Count 0>>\nendobj\n"
	file := body + "xref\n1 3\n0000000000 65535 f \n0000000009 00000 n \n" + fmt.Sprintf("%010d 00000 n \n", strings.Index(body, "2 0 obj")) +
		"trailer\n<</Size 3/Root 1 0 R>>\nstartxref\n" + fmt.Sprint(len(body)) + "\n%%EOF\n"
	d, err := Open(strings.NewReader(file), int64(len(file)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if d.Dict(Ref{Num: 2})["Kids"] == nil || d.Name(d.Catalog()["Type"]) != "Catalog" {
		t.Errorf("object 1 is %v, object 2 is %v", d.Dict(Ref{Num: 1}), d.Dict(Ref{Num: 2}))
	}
	if notes := d.damage.Notes(); len(notes) != 1 || !strings.Contains(notes[0], "begins at object 0") {
		t.Errorf("notes %q", notes)
	}
}
