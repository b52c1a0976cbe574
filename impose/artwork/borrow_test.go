package artwork

import (
	"strings"
	"testing"

	"quoin/impose/ink"
	"quoin/impose/witness"
)

// ISO 32000-1 7.8.3: what has no resources takes those of whoever uses it, at
// any depth; names that are nowhere are told.
func TestBorrowedResources(t *testing.T) {
	p := open(t, witness.Borrowing(t), Options{})
	if u := usage(p, ink.Black); u.State != Used {
		t.Errorf("black is %q: %s", u.State, inkList(p))
	}
	if len(p.Appearances) != 1 || p.Unfit() != nil {
		t.Errorf("%+v, %v", p.Appearances, p.Unfit())
	}
	if lent := p.Lent; len(lent) != 2 {
		t.Errorf("%d are lent resources: %v", len(lent), lent)
	}

	const form = "/Type /XObject /Subtype /Form /BBox [0 0 99 59] "
	shared := []string{
		witness.Stream("", "/A Do /B Do"),
		witness.Stream(form+"/Resources << /XObject << /X 7 0 R >> /ColorSpace << /S [/Separation /One /DeviceGray 9 0 R] >> >>", "/X Do"),
		witness.Stream(form+"/Resources << /XObject << /X 7 0 R >> /ColorSpace << /S [/Separation /Two /DeviceGray 9 0 R] >> >>", "/X Do"),
	}
	for content, want := range map[string]string{
		"/S cs 1 scn 20 20 20 20 re f": ResourcesDiffer + " " + NoResources,
		"1 g 20 20 20 20 re f":         NoResources,
	} {
		p := open(t, onePage(t, "/Contents 4 0 R /Resources << /XObject << /A 5 0 R /B 6 0 R >> >>", append(shared, witness.Stream(form, content))...), Options{})
		if got := codes(p, always...); got != want {
			t.Errorf("%s: %q, want %q", content, got, want)
		}
	}
}

func TestMissingResources(t *testing.T) {
	for content, want := range map[string]string{
		"BT /F 9 Tf 20 20 Td (a) Tj ET": `the font "F"`,
		"BT 20 20 Td (a) Tj ET":         `the font ""`,
		"/S cs 1 sc 20 20 20 20 re f":   `the colour space "S"`,
		"/X Do":                         `the form or image "X"`,
		"/G gs":                         `the graphics state "G"`,
		"/H sh":                         `the shading "H"`,
		"/Pattern cs /P scn":            `the pattern "P"`,
	} {
		p := open(t, onePage(t, "/Contents 4 0 R /Resources << >>", witness.Stream("", content)), Options{})
		if got := text(p, ResourceMissing); !strings.Contains(got, want) {
			t.Errorf("%s: %q, want %s", content, got, want)
		}
		if strings.Contains(content, "Tj") && usage(p, ink.Black).State != Used {
			t.Errorf("%s: the text has no ink", content)
		}
	}
	// A name for what isn't in the file is a loss.
	p := open(t, onePage(t, "/Contents 4 0 R /Resources << /Font << /F 77 0 R >> >>", witness.Stream("", "BT /F 9 Tf 20 20 Td (a) Tj ET")), Options{})
	if err := p.Unfit(); err == nil || !strings.Contains(err.Error(), "object 77") {
		t.Error(err)
	}
}
