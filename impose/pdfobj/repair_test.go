package pdfobj

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// Each damaged file must still show its one page, and say what was mended.
func TestDamagedFiles(t *testing.T) {
	object4 := "4 0 obj\n" + simple().objects[3] + "\nendobj\n"
	for _, c := range []struct {
		name string
		make func(t *testing.T) string
		note string // part of a line of Repaired; "" if nothing needs mending
	}{
		{"sound", func(t *testing.T) string { return simple().String() }, ""},
		{"no startxref", func(t *testing.T) string {
			return swap(t, simple().String(), "startxref", "startxyz")
		}, "no startxref"},
		{"startxref beyond the end", func(t *testing.T) string {
			return swap(t, simple().String(), "startxref\n", "startxref\n9")
		}, "scanned"},
		{"startxref without a number", func(t *testing.T) string {
			s := simple().String()
			return s[:strings.Index(s, "startxref")+9]
		}, "states no offset"},
		{"cut off before the table", func(t *testing.T) string {
			s := simple().String()
			return s[:strings.Index(s, "xref\n0")]
		}, "scanned"},
		{"no trailer", func(t *testing.T) string {
			s := simple().String()
			return s[:strings.Index(s, "trailer")]
		}, "scanned"},
		{"trailer without a root", func(t *testing.T) string {
			return swap(t, simple().String(), "/Root 1 0 R", "/Boot 1 0 R")
		}, "leads to no catalog"},
		{"root is another object", func(t *testing.T) string {
			return swap(t, simple().String(), "/Root 1 0 R", "/Root 4 0 R")
		}, "leads to no catalog"},
		{"all offsets wrong", func(t *testing.T) string {
			s := simple().String()
			return swap(t, s, "1 0 obj", "%a comment that moves all\n1 0 obj")
		}, "scanned"},
		{"one offset wrong", func(t *testing.T) string {
			s := simple().String()
			return swap(t, s, fmt.Sprintf("%010d 00000 n", strings.Index(s, "4 0 obj")), "0000000003 00000 n")
		}, "object 4: the cross-reference table was wrong"},
		{"an entry points to another object", func(t *testing.T) string {
			s := simple().String()
			return swap(t, s, fmt.Sprintf("%010d 00000 n", strings.Index(s, "4 0 obj")),
				fmt.Sprintf("%010d 00000 n", strings.Index(s, "3 0 obj")))
		}, "object 3 stands at its place"},
		{"the subsection is off by one", func(t *testing.T) string {
			return swap(t, simple().String(), "xref\n0 5", "xref\n1 5")
		}, "begins at object 0"},
		{"the table has letters", func(t *testing.T) string {
			return swap(t, simple().String(), "00000 n", "0000x n")
		}, "a line is damaged"},
		{"missing endobj", func(t *testing.T) string {
			s := strings.ReplaceAll(simple().String(), "\nendobj", "")
			return s
		}, "scanned"},
		{"length too short", func(t *testing.T) string {
			return swap(t, simple().String(), "/Length 25", "/Length 10")
		}, "its length is 25, not 10"},
		{"length too long", func(t *testing.T) string {
			return swap(t, simple().String(), "/Length 25", "/Length 9999999")
		}, "its length is 25, not 9999999"},
		{"length negative", func(t *testing.T) string {
			return swap(t, simple().String(), "/Length 25", "/Length -5")
		}, "its length is 25, not -5"},
		{"length missing", func(t *testing.T) string {
			return swap(t, simple().String(), "/Length 25", "/Width 25")
		}, "it has no valid length"},
		{"length points to its own stream", func(t *testing.T) string {
			return swap(t, simple().String(), "/Length 25", "/Length 4 0 R")
		}, "it has no valid length"},
		{"endstream missing", func(t *testing.T) string {
			return swap(t, simple().String(), "\nendstream", "")
		}, "its length is 25"},
		{"junk before the header, offsets from the file's start", func(t *testing.T) string {
			f := simple()
			f.head = "HTTP/1.1 200 OK\r\n\r\n" + f.head
			return f.String()
		}, "19 bytes stand before the header"},
		{"junk before the header, offsets from the header", func(t *testing.T) string {
			f := simple()
			f.head, f.shift = "HTTP/1.1 200 OK\r\n\r\n"+f.head, -19
			return f.String()
		}, "19 bytes stand before the header"},
		{"no header", func(t *testing.T) string {
			f := simple()
			f.head = ""
			return f.String()
		}, "no header"},
		{"junk behind the end", func(t *testing.T) string {
			return simple().String() + strings.Repeat("\x00junk", 300)
		}, ""},
		{"much junk behind the end", func(t *testing.T) string {
			return simple().String() + strings.Repeat("\x00junk", 3000)
		}, "no startxref"},
		{"no catalog type, no table", func(t *testing.T) string {
			s := swap(t, simple().String(), "/Type/Catalog", "/Tape/Catalog")
			return swap(t, s, "xref\n0", "\n")
		}, "scanned"},
		{"no catalog at all", func(t *testing.T) string {
			f := simple()
			f.objects[0] = "<<>>"
			return f.String()
		}, "no catalog"},
		{"the last of two objects counts", func(t *testing.T) string {
			s := simple().String()
			s = s[:strings.Index(s, "xref\n0")]
			return "%PDF-1.4\n4 0 obj\n" + stream("", "1 0 0 rg") + "\nendobj\n" + s
		}, "scanned"},
		{"an object inside a stream does not count", func(t *testing.T) string {
			s := simple().String()
			s = s[:strings.Index(s, "xref\n0")]
			inner := "4 0 obj\n" + stream("", "1 0 0 rg") + "\nendobj\n"
			return s + "9 0 obj\n" + stream("", inner) + "\nendobj\n"
		}, "scanned"},
		{"an object inside a string does not hide the rest", func(t *testing.T) string {
			s := simple().String()
			s = s[:strings.Index(s, "xref\n0")]
			return "%PDF-1.4\n9 0 obj\n(unclosed\n" + s
		}, "scanned"},
		{"objects run together", func(t *testing.T) string {
			s := simple().String()
			s = s[:strings.Index(s, "xref\n0")]
			return strings.ReplaceAll(s, "endobj\n", "endobj")
		}, "scanned"},
		{"line ends are CR", func(t *testing.T) string {
			return strings.ReplaceAll(simple().String(), "\n", "\r")
		}, ""},
		{"an older section is damaged", func(t *testing.T) string {
			s := simple().String()
			i := strings.Index(s, "xref\n0")
			s = s[:i] + "8 0 obj 0 endobj\n"
			return s + fmt.Sprintf("xref\n1 1\n%010d 00000 n \ntrailer<</Size 5/Root 1 0 R/Prev 3>>\nstartxref\n%d\n%%%%EOF\n",
				strings.Index(s, "1 0 obj"), len(s))
		}, "an older cross-reference section is damaged"},
		{"sections form a loop", func(t *testing.T) string {
			f := simple()
			f.trailer = "/Prev 00000"
			s := f.String()
			return swap(t, s, "/Prev 00000", fmt.Sprintf("/Prev %05d", strings.Index(s, "xref\n0")))
		}, "form a loop"},
		{"kids point to the node itself", func(t *testing.T) string {
			return swap(t, simple().String(), "[3 0 R]", "[2 0 R 2 0 R 3 0 R]")
		}, "scanned"},
		{"page tree loop, sound table", func(t *testing.T) string {
			f := simple()
			f.objects[1] = "<</Type/Pages/Kids[2 0 R 3 0 R]/MediaBox[0 0 100 100]>>"
			return f.String()
		}, "page tree has a loop"},
		{"null among the kids", func(t *testing.T) string {
			f := simple()
			f.objects[1] = "<</Type/Pages/Kids[null 99 0 R 3 0 R]/MediaBox[0 0 100 100]>>"
			return f.String()
		}, "no page"},
		{"one kid without an array", func(t *testing.T) string {
			f := simple()
			f.objects[1] = "<</Type/Pages/Kids 3 0 R/MediaBox[0 0 100 100]>>"
			return f.String()
		}, ""},
		{"indirect kids", func(t *testing.T) string {
			f := simple()
			f.objects[1] = "<</Type/Pages/Kids 5 0 R/MediaBox[0 0 100 100]>>"
			f.objects = append(f.objects, "6 0 R", "[3 0 R]")
			return f.String()
		}, ""},
		{"no types in the page tree", func(t *testing.T) string {
			f := simple()
			f.objects[1] = "<</Kids[3 0 R]/MediaBox[0 0 100 100]>>"
			f.objects[2] = "<</Parent 2 0 R/Contents 4 0 R>>"
			return f.String()
		}, ""},
		{"a node that says it is a page", func(t *testing.T) string {
			f := simple()
			f.objects[1] = "<</Type/Page/Kids[3 0 R]/MediaBox[0 0 100 100]>>"
			return f.String()
		}, ""},
		{"a page as the page tree", func(t *testing.T) string {
			f := simple()
			f.objects[0] = "<</Type/Catalog/Pages 3 0 R>>"
			return f.String()
		}, ""},
		{"no page tree", func(t *testing.T) string {
			f := simple()
			f.objects[0] = "<</Type/Catalog/Pages 9 0 R>>"
			return f.String()
		}, "1 pages were found without it"},
		{"an object before its table: unlisted and older", func(t *testing.T) string {
			return "%PDF-1.4\n" + object4 + simple().String()
		}, "scanned"},
	} {
		t.Run(c.name, func(t *testing.T) {
			content, d := firstContent(t, c.make(t), Limits{})
			if content != testContent {
				t.Errorf("content %q", content)
			}
			p, err := d.Page(0)
			if err != nil {
				t.Fatal(err)
			}
			if box, _ := d.Numbers(p.Dict["MediaBox"]); len(box) != 4 {
				t.Errorf("MediaBox %v", p.Dict["MediaBox"])
			}
			notes := strings.Join(d.damage.Notes(), "\n")
			if c.note == "" && notes != "" || !strings.Contains(notes, c.note) {
				t.Errorf("notes %q, want %q", notes, c.note)
			}
			if d.Err() != nil {
				t.Error(d.Err())
			}
		})
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		name, text string
		opt        Limits
		want       error
	}{
		{"empty", "", Limits{}, ErrNotPDF},
		{"text", strings.Repeat("no PDF at all\n", 1000), Limits{}, ErrNotPDF},
		{"header only", "%PDF-1.7\n", Limits{}, ErrNotPDF},
		{"objects", simple().String(), Limits{MaxObjects: 3}, ErrBudget},
		{"objects of a scan", strings.Repeat("1 0 obj 2 0 obj ", 2), Limits{MaxObjects: 1}, ErrBudget},
	} {
		_, err := Open(strings.NewReader(c.text), int64(len(c.text)), c.opt)
		if !errors.Is(err, c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	d := open(t, []byte(simple().String()))
	for _, i := range []int{-1, 1} {
		if _, err := d.Page(i); !errors.Is(err, ErrNoPage) {
			t.Errorf("page %d: %v", i, err)
		}
	}
}
