package press

import (
	"bytes"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// TestAMarkInSeveralInksSaysWhatEachLooksLike: the DeviceN of a mark carries a
// Separation for each of its spots and for no process ink (ISO 32000-1 Table
// 71).
func TestAMarkInSeveralInksSaysWhatEachLooksLike(t *testing.T) {
	const mm = geometry.Millimetre
	box := geometry.BoxAt(geometry.Position{}, geometry.Size{Across: 5 * mm, Around: 5 * mm})
	paint := draw.Paint{Tints: []draw.Tint{{Ink: "Black", Amount: 1}, {Ink: "Plum", Amount: 1}, {Ink: "Pear", Amount: .5}}}
	var b bytes.Buffer
	w, err := New(&b, Setup{Inks: []ink.Ink{{Name: "Plum", CMYK: [4]float64{0, 1, 0, 0}}, {Name: "Pear", CMYK: [4]float64{0, 0, 1, 0}}}})
	if err != nil {
		t.Fatal(err)
	}
	frame := draw.Frame{Size: geometry.Size{Across: 100 * mm, Around: 100 * mm}, Items: []draw.Item{
		draw.Fill{Path: draw.Rectangle(box), Paint: paint},
		draw.Fill{Path: draw.Rectangle(box), Paint: draw.Solid("Pear")},
	}}
	if err := w.Frame(frame); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	d, err := pdfobj.Open(bytes.NewReader(b.Bytes()), int64(b.Len()), pdfobj.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	page, err := d.Page(0)
	if err != nil {
		t.Fatal(err)
	}
	spaces, alone := map[pdfobj.Name]pdfobj.Array{}, pdfobj.Object(nil)
	list := d.Dict(d.Dict(page.Dict["Resources"])["ColorSpace"])
	for _, key := range list.Keys() {
		space := d.Array(list[key])
		spaces[d.Name(space[0])] = space
		if d.Name(space[0]) == "Separation" {
			alone = list[key]
		}
	}
	mixed := spaces["DeviceN"]
	if len(mixed) != 5 {
		t.Fatalf("the DeviceN is %v", mixed)
	}
	colorants := d.Dict(d.Dict(mixed[4])["Colorants"])
	if len(colorants) != 2 || colorants["Pear"] != alone {
		t.Errorf("colorants %v; Pear alone is %v", colorants, alone)
	}
	plum := d.Array(colorants["Plum"])
	if len(plum) != 4 || d.Name(plum[0]) != "Separation" || d.Name(plum[1]) != "Plum" {
		t.Errorf("Plum looks like %v", plum)
	}
}
