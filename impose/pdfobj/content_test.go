package pdfobj

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
)

// scanned returns the operations of a content stream, one a line, operands
// first. Inline images show their dictionary and the number of bytes.
func scanned(t *testing.T, content string) string {
	t.Helper()
	var lines []string
	s := NewContentScanner(strings.NewReader(content))
	for s.Next() {
		op := s.Operation()
		var line []byte
		for _, o := range op.Operands {
			if image, ok := o.(*Stream); ok {
				line, _ = AppendObject(line, image.Dict)
				raw, err := image.Raw()
				if err != nil {
					t.Fatal(err)
				}
				data, err := io.ReadAll(raw)
				if err != nil {
					t.Fatal(err)
				}
				line = fmt.Appendf(line, "%q ", data)
				continue
			}
			var err error
			if line, err = AppendObject(line, o); err != nil {
				t.Fatal(err)
			}
			line = append(line, ' ')
		}
		lines = append(lines, string(line)+op.Operator)
	}
	if s.Err() != nil {
		t.Errorf("%.60q: %v", content, s.Err())
	}
	return strings.Join(lines, "\n")
}

func TestContentScanner(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"empty", "", ""},
		{"operators", "q 1 0 0 -1 10.5 .5 cm\n/Im1 Do Q", "q\n1 0 0 -1 10.5 .5 cm\n/Im1 Do\nQ"},
		{"quotes and stars", "(a)' 1 2(b)\" f* T*", "(a) '\n1 2 (b) \"\nf*\nT*"},
		{"arrays and dictionaries", "/P<</MCID 0>>BDC[(A)-20.5<42>]TJ EMC", "/P <</MCID 0>> BDC\n[(A)-20.5(B)] TJ\nEMC"},
		{"integers are never references", "1 0 R", "1 0 R"},
		{"constants are operands", "true false null gs", "true false null gs"},
		{"comments", "0 g % black\r1 G%", "0 g\n1 G"},
		{"no white space", "0 0 1rg/F1 12Tf(x)Tj", "0 0 1 rg\n/F1 12 Tf\n(x) Tj"},
		{"stray delimiters", "] >> ) } 0 g {", "0 g"},
		{"open array", "[(A) 1 Tj 0 g", "[(A)1] Tj\n0 g"},
		{"open string", "0 g (abc", "0 g"},
		{"operands alone", "1 2 3", ""},
		{"type 3 glyph", "500 0 0 0 500 700 d1", "500 0 0 0 500 700 d1"},
		{"too deep", strings.Repeat("[", maxContentDepth+2) + strings.Repeat("]", maxContentDepth+2) + "0 g", "0 g"},
		{"inline image", "BI/W 2/H 1/BPC 8/CS/RGB ID abcdef\nEI Q", `<</BPC 8/CS/RGB/H 1/W 2>>"abcdef" BI` + "\nQ"},
		{"EI in data of known length", "BI /W 8 /H 1 /BPC 8 /CS /G ID ab EI cd\nEI\nQ", `<</BPC 8/CS/G/H 1/W 8>>"ab EI cd" BI` + "\nQ"},
		{"no line end before EI", "BI /W 4 /H 1 /BPC 8 /CS /G ID abcdEI Q", `<</BPC 8/CS/G/H 1/W 4>>"abcd" BI` + "\nQ"},
		{"mask", "BI /W 9 /H 2 /IM true ID abcd EI", `<</H 2/IM true/W 9>>"abcd" BI`},
		{"indexed", "BI /W 3 /H 1 /BPC 8 /CS[/I/RGB 1<000000FFFFFF>] ID \x00\x01\x00\nEI Q",
			`<</BPC 8/CS[/I/RGB 1<000000FFFFFF>]/H 1/W 3>>"\x00\x01\x00" BI` + "\nQ"},
		{"stated length", "BI /W 8 /H 1 /F /Fl /L 7 ID x EI yz\nEI Q", `<</F/Fl/H 1/L 7/W 8>>"x EI yz" BI` + "\nQ"},
		{"wrong length", "BI /W 99 /H 9 /BPC 8 /CS /G ID abc EI Q", `<</BPC 8/CS/G/H 9/W 99>>"abc" BI` + "\nQ"},
		{"EI in filtered data", "BI /W 8 /H 1 /F /Fl ID \x01 EI \x80\x90\xff\x01\x02 zz EI\nQ", `<</F/Fl/H 1/W 8>>"\x01 EI \x80\x90\xff\x01\x02 zz" BI` + "\nQ"},
		{"named space", "BI /W 4 /H 1 /BPC 8 /CS /Cs1 ID abcd\nEI Q", `<</BPC 8/CS/Cs1/H 1/W 4>>"abcd" BI` + "\nQ"},
		{"CR LF after ID", "BI /W 1 /H 1 /BPC 8 /CS /G ID\r\na\r\nEI\r\nQ", `<</BPC 8/CS/G/H 1/W 1>>"a" BI` + "\nQ"},
		{"image without end", "BI /W 8 /H 8 /F /DCT ID abc", `<</F/DCT/H 8/W 8>>"abc" BI`},
		{"image without data", "BI /W 8 EI 0 g", "<</W 8>>\"\" BI\n0 g"},
		{"image without anything", "0 g BI /W 8", "0 g"},
		{"two images", "BI /W 1 /H 1 /BPC 8 /CS /G ID a EI BI /W 1 /H 1 /BPC 8 /CS /G ID b EI",
			"<</BPC 8/CS/G/H 1/W 1>>\"a\" BI\n<</BPC 8/CS/G/H 1/W 1>>\"b\" BI"},
	} {
		if got := scanned(t, c.in); got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
}

func TestContentScannerKeepsTheLastOperands(t *testing.T) {
	s := NewContentScanner(strings.NewReader(strings.Repeat("1 ", 5000) + "2 3 m"))
	if !s.Next() {
		t.Fatal(s.Err())
	}
	op := s.Operation()
	if n := len(op.Operands); n > maxOperands || op.Operands[n-2] != Integer(2) || op.Operands[n-1] != Integer(3) {
		t.Errorf("%d operands, the last %v", n, op.Operands[n-2:])
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

func TestContentScannerReportsItsReader(t *testing.T) {
	want := errors.New("disk on fire")
	s := NewContentScanner(io.MultiReader(strings.NewReader("0 g 1 "), failing{want}))
	n := 0
	for s.Next() {
		n++
	}
	if n != 1 || s.Err() != want {
		t.Errorf("%d operations, error %v", n, s.Err())
	}
}

// A page's contents are one stream cut into parts between any two tokens.
func TestContentIsJoined(t *testing.T) {
	f := simple()
	f.objects[2] = "<</Type/Page/Parent 2 0 R/Contents[4 0 R 99 0 R 5 0 R 6 0 R 7 0 R]>>"
	f.objects = append(f.objects, stream("", "Q 0"), stream("/Filter/Nonsense", "??"), stream("", "g"))
	content, d := firstContent(t, f.String(), Limits{})
	if want := testContent + "\nQ 0\ng"; content != want {
		t.Errorf("content %q", content)
	}
	if notes := d.damage.Notes(); len(notes) != 1 || !strings.Contains(notes[0], "content stream 6") {
		t.Errorf("notes %q", notes)
	}
}
