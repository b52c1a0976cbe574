package press

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// FuzzPlace places whatever opens as an artwork on two stations, with white in
// its shape: no input may end in a panic, and what is written must be read
// again without a repair, both of its artworks in place.
func FuzzPlace(f *testing.F) {
	files, err := filepath.Glob("../../testdata/placing/*.pdf")
	if err != nil || len(files) < 80 {
		f.Fatalf("%d files, %v", len(files), err)
	}
	for _, path := range files {
		if data, err := os.ReadFile(path); err == nil && len(data) < 6000 {
			f.Add(data)
		}
	}
	path := filepath.Join(f.TempDir(), "artwork.pdf")
	f.Fuzz(func(t *testing.T, data []byte) {
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
		file, err := artwork.Open(path, artwork.Options{
			PDF: pdfobj.Limits{MaxObjects: 10_000, MaxDecoded: 1 << 20, MaxPages: 100}, Operators: 10_000,
		})
		if err != nil {
			return
		}
		defer file.Close()
		p, err := file.Page(1)
		if err != nil {
			return
		}
		var out bytes.Buffer
		if err := frameOf(&out, p); err != nil {
			return // refused with a reason
		}
		d, err := pdfobj.Open(bytes.NewReader(out.Bytes()), int64(out.Len()), pdfobj.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		page, err := d.Page(0)
		if err != nil {
			t.Fatal(err)
		}
		for name, o := range d.Dict(d.Dict(page.Dict["Resources"])["XObject"]) {
			if s := d.Stream(o); s == nil || d.Name(s.Dict["Subtype"]) != "Form" {
				t.Errorf("%s is no form", name)
			}
		}
		if notes := d.Damage().Notes(); len(notes) > 0 {
			t.Errorf("the frame had to be repaired: %q", notes)
		}
	})
}

func frameOf(out *bytes.Buffer, p *artwork.Page) error {
	w, err := New(out, Setup{Artworks: []*artwork.Page{p}, Inks: []ink.Ink{{Name: "White", Kind: ink.White}}})
	if err != nil {
		return err
	}
	const mm = geometry.Millimetre
	frame := draw.Frame{Size: geometry.Size{Across: 200 * mm, Around: 100 * mm}}
	for i := range 2 {
		trim := geometry.BoxAt(geometry.Position{Across: geometry.Length(i) * 100 * mm}, p.Size())
		place := draw.Place{Trim: trim, Clip: draw.Rectangle(trim), Turn: geometry.Turn(i)}
		white := draw.Paint{Tints: []draw.Tint{{Ink: "White", Amount: 1}}, Overprint: true}
		frame.Items = append(frame.Items, place, draw.Cover{Layer: draw.White, Place: place, Choke: mm / 10, Paint: white})
	}
	if err := w.Frame(frame); err != nil {
		return err
	}
	return w.Close()
}
