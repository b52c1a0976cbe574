package raster

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"quoin/impose/pdfobj"
)

// drafted is a page of 200 x 100 points with some content, which may be in a form.
func drafted(t *testing.T, content string, inForm bool, state pdfobj.Dict) *Draft {
	t.Helper()
	d := &Draft{}
	w, err := pdfobj.NewWriter(d, pdfobj.WriterOptions{})
	if err != nil {
		t.Fatal(err)
	}
	put := func(o pdfobj.Object) pdfobj.Ref {
		ref := w.Alloc()
		if err := w.Put(ref, o); err != nil {
			t.Fatal(err)
		}
		return ref
	}
	stream := func(dict pdfobj.Dict, text string) pdfobj.Ref {
		ref := w.Alloc()
		if err := w.PutStream(ref, dict, strings.NewReader(text), int64(len(text)), inForm); err != nil {
			t.Fatal(err)
		}
		return ref
	}
	name := func(s string) pdfobj.Name { return pdfobj.Name(s) }
	on, off := put(pdfobj.Dict{"Type": name("OCG"), "Name": pdfobj.String("on")}), put(pdfobj.Dict{"Type": name("OCG"), "Name": pdfobj.String("off")})
	resources := pdfobj.Dict{
		"Font":       pdfobj.Dict{"F": put(pdfobj.Dict{"Type": name("Font"), "Subtype": name("Type1"), "BaseFont": name("Helvetica")})},
		"ExtGState":  pdfobj.Dict{"Half": put(pdfobj.Dict{"ca": pdfobj.Real(.5)}), "Full": put(pdfobj.Dict{"ca": pdfobj.Integer(1)}), "Other": put(state)},
		"Properties": pdfobj.Dict{"On": on, "Off": off},
		"ColorSpace": pdfobj.Dict{"Grey": pdfobj.Array{name("CalGray"), pdfobj.Dict{"WhitePoint": pdfobj.Array{pdfobj.Real(.95), pdfobj.Integer(1), pdfobj.Real(1.09)}}}},
	}
	box := pdfobj.Array{pdfobj.Integer(0), pdfobj.Integer(0), pdfobj.Integer(200), pdfobj.Integer(100)}
	pages := w.Alloc()
	page := pdfobj.Dict{"Type": name("Page"), "Parent": pages, "MediaBox": box, "Resources": resources}
	if inForm {
		form := stream(pdfobj.Dict{"Type": name("XObject"), "Subtype": name("Form"), "BBox": box, "Resources": resources}, content)
		page["Resources"] = pdfobj.Dict{"XObject": pdfobj.Dict{"Art": form}}
		page["Contents"] = stream(pdfobj.Dict{}, "q .9 0 0 .9 3 3 cm 0 0 180 90 re W n /Art Do Q")
	} else {
		page["Contents"] = stream(pdfobj.Dict{}, content)
	}
	if err := w.Put(pages, pdfobj.Dict{"Type": name("Pages"), "Kids": pdfobj.Array{put(page)}, "Count": pdfobj.Integer(1)}); err != nil {
		t.Fatal(err)
	}
	layers := pdfobj.Dict{"OCGs": pdfobj.Array{on, off}, "D": pdfobj.Dict{"OFF": pdfobj.Array{off}}}
	if err := w.Close(put(pdfobj.Dict{"Type": name("Catalog"), "Pages": pages, "OCProperties": layers}), pdfobj.Ref{}); err != nil {
		t.Fatal(err)
	}
	return d
}

// contents are such that a slice must begin in the state that was.
func contents() map[string]string {
	random := rand.New(rand.NewPCG(7, 8))
	n := func(most int) int { return random.IntN(most) }
	many := func(each func(i int) string) string {
		var b strings.Builder
		for i := range 150 {
			b.WriteString(each(i))
		}
		return b.String()
	}
	shape := func() string {
		return fmt.Sprintf("%d %d m %d %d l %d.5 %d %d %d %d %d c h ", n(200), n(100), n(200), n(100), n(200), n(100), n(200), n(100), n(200), n(100))
	}
	colour := func() string { return fmt.Sprintf(".%d .%d .%d rg ", n(9), n(9), n(9)) }
	return map[string]string{
		"each in q and Q": many(func(int) string { return "q " + colour() + shape() + "f Q\n" }),
		"all at one level": many(func(i int) string {
			return colour() + fmt.Sprintf("%d w /%s gs ", 1+n(4), []string{"Half", "Full"}[i%2]) + shape() + []string{"f", "B", "S", "f*"}[n(4)] + "\n"
		}),
		"matrices and clips pile up": "q " + many(func(i int) string {
			if i%60 == 10 {
				return fmt.Sprintf("1.01 0 0 .99 .%d .%d cm %d %d 190 95 re W n q ", n(9), n(9), n(3), n(3))
			}
			return colour() + shape() + "f\n"
		}) + "Q Q Q Q Q Q",
		"clipped by what is painted": colour() + "10 10 150 70 re W f " + many(func(int) string { return colour() + shape() + "f\n" }),
		"spaces": "/Grey cs .3 sc " + many(func(i int) string {
			return []string{"/Grey cs ", ".5 scn ", ".2 .4 .6 0 k ", ".7 sc ", colour()}[[]int{0, 1, 2, 4, 0, 3}[i%6]] + shape() + "f\n"
		}),
		"text": "/F 9 Tf 2 Ts .5 Tc " + many(func(i int) string {
			return fmt.Sprintf("BT %d %d Td %d TL (Aj%d) Tj T* (x) ' %d Tr ET\n", n(180), n(90), 5+n(5), i, n(2))
		}),
		"layers": many(func(i int) string {
			s := colour() + shape() + "f\n"
			switch i % 50 {
			case 5:
				return "/OC /Off BDC " + s
			case 25:
				return "EMC /OC /On BDC q " + s
			case 49:
				return "Q EMC " + s
			}
			return s
		}),
		"layers across q and Q": many(func(i int) string { return "q /OC /On BDC " + colour() + shape() + "f Q EMC\n" }),
		"images": many(func(i int) string {
			return fmt.Sprintf("q 20 0 0 20 %d %d cm BI /W 2 /H 2 /CS /G /BPC 8 ID \x00%c( EI Q\n", n(180), n(80), 'a'+i%20)
		}),
		"not closed":       "q q " + many(func(int) string { return colour() + shape() + "f\n" }),
		"too often closed": many(func(int) string { return colour() + shape() + "f Q Q\n" }),
	}
}

// TestSlicesShowTheSame: content that is drawn in slices shows what it does when it
// is drawn at once.
func TestSlicesShowTheSame(t *testing.T) {
	r, err := New(context.Background(), func(string) {})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	defer func(before int) { bandPixels = before }(bandPixels)
	bandPixels = 550 * 150
	see := func(name string, d *Draft, least int64, cut bool) (image.Image, Planes) {
		defer func(before int64) { sliceBytes = before }(sliceBytes)
		sliceBytes = least
		if s, err := slice(context.Background(), d); err != nil || (s != nil) != cut {
			t.Fatalf("%s: cut: %t, %v", name, s != nil, err)
		} else {
			s.close()
		}
		pdf, err := d.Reader()
		if err != nil {
			t.Fatal(err)
		}
		again := &Draft{} // the first picture closes what it drew
		if _, err := io.Copy(again, pdf); err != nil {
			t.Fatal(err)
		}
		img, err := r.Draft(context.Background(), again, 100)
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := r.Open(context.Background(), d)
		if err != nil {
			t.Fatal(err)
		}
		defer sheet.Close()
		var seen Planes
		bands := 0
		if err := sheet.Bands(context.Background(), 550, 275, func(_ int, band Planes) error {
			bands++
			for c := range seen {
				seen[c] = append(seen[c], band[c]...)
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		if bands < 2 {
			t.Fatalf("%s: drawn in %d band", name, bands)
		}
		if r.opened == 0 {
			t.Error("the sheet counts as closed")
		}
		return img, seen
	}
	for name, content := range contents() {
		for _, inForm := range []bool{false, true} {
			img, seen := see(name, drafted(t, content, inForm, pdfobj.Dict{}), 1<<40, false)
			cutImg, cutSeen := see(name, drafted(t, content, inForm, pdfobj.Dict{}), 2000, name != "layers across q and Q")
			for c := range seen {
				if !bytes.Equal(seen[c], cutSeen[c]) {
					t.Errorf("%s, in a form %t: the bands differ", name, inForm)
				}
			}
			if !bytes.Equal(img.(*image.NRGBA).Pix, cutImg.(*image.NRGBA).Pix) {
				t.Errorf("%s, in a form %t: the pictures differ", name, inForm)
			}
			if bytes.Count(seen[0], []byte{255}) == len(seen[0]) {
				t.Errorf("%s, in a form %t: nothing is seen", name, inForm)
			}
		}
	}
	if r.opened != 0 {
		t.Errorf("%d documents are taken for open", r.opened)
	}
}

// TestWhatBlendsIsNotCut: what the renderer decides for a page as a whole is left to it.
func TestWhatBlendsIsNotCut(t *testing.T) {
	defer func(before int64) { sliceBytes = before }(sliceBytes)
	sliceBytes = 2000
	content := contents()["each in q and Q"]
	for name, test := range map[string]struct {
		state pdfobj.Dict
		cut   bool
	}{
		"plain":     {pdfobj.Dict{"BM": pdfobj.Name("Normal")}, true},
		"multiply":  {pdfobj.Dict{"BM": pdfobj.Name("Multiply")}, false},
		"soft mask": {pdfobj.Dict{"SMask": pdfobj.Dict{"S": pdfobj.Name("Alpha"), "G": pdfobj.Dict{}}}, false},
	} {
		for _, inForm := range []bool{false, true} {
			d := drafted(t, content, inForm, test.state)
			s, err := slice(context.Background(), d)
			if err != nil || (s != nil) != test.cut {
				t.Errorf("%s, in a form %t: cut %t, %v", name, inForm, s != nil, err)
			}
			s.close()
			d.Close()
		}
	}
}

// TestRendererIsTakenAnew: what a large page leaves isn't kept.
func TestRendererIsTakenAnew(t *testing.T) {
	if outside == nil {
		t.Skip("the renderer's memory isn't known")
	}
	r, err := New(context.Background(), func(string) {})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	small := r.memory.size
	r.memory.size = mostLeft + 1
	d := drafted(t, "0 0 100 100 re f", false, pdfobj.Dict{})
	if _, err := r.Draft(context.Background(), d, 72); err != nil {
		t.Fatal(err)
	}
	if small == 0 || r.memory.size > mostLeft {
		t.Errorf("the renderer has %d bytes, and had %d", r.memory.size, small)
	}
}

// TestOpeningEndsWithItsContext: who waits for much content to be cut can go away.
func TestOpeningEndsWithItsContext(t *testing.T) {
	defer func(before int64) { sliceBytes = before }(sliceBytes)
	sliceBytes = 2000
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	d := drafted(t, contents()["each in q and Q"], false, pdfobj.Dict{})
	r := &Renderer{} // which is never asked
	if _, err := r.Open(ctx, d); !errors.Is(err, context.Canceled) {
		t.Errorf("opening ends with %v", err)
	}
	if _, err := d.Write([]byte("x")); !errors.Is(err, os.ErrClosed) {
		t.Errorf("the draft isn't closed: %v", err)
	}
}
