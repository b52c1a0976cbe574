package plate

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"testing"

	"quoin/impose/witness"
)

// alone has each plate of a set drawn by itself.
func alone(s *Set) *Set {
	s.sorted = []trio{}
	for i := range s.Inks {
		s.sorted = append(s.sorted, trio{i})
	}
	return s
}

// rasters draws all plates of a set.
func rasters(t testing.TB, s *Set) []*image.Gray {
	t.Helper()
	list := make([]*image.Gray, len(s.Inks))
	err := s.Rasters(context.Background(), s.every(), func(i int, img *image.Gray) error {
		list[i] = img
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// TestTogetherAsAlone draws hand-written pages, of overprint, groups, masks, patterns
// and images, with their plates together and each alone.
func TestTogetherAsAlone(t *testing.T) {
	list := append(plainDrawings, objectDrawings(t)...)
	page, r := leaf(t, book(t, list)), renderer(t)
	draws, plates := 0, 0
	for i, d := range list {
		p := page(i + 1)
		set := New(p, r, Options{DPI: 144})
		got, want := rasters(t, set), rasters(t, alone(New(p, r, Options{DPI: 144})))
		draws, plates = draws+len(set.sorted), plates+len(set.Inks)
		for k, img := range got {
			most := 0
			for at, v := range img.Pix {
				most = max(most, int(v)-int(want[k].Pix[at]), int(want[k].Pix[at])-int(v))
			}
			if most > 2 { // what multiplies is rounded once more
				t.Errorf("%s: %s differs by %d of 255", d.name, set.Inks[k].Name, most)
			}
		}
	}
	t.Logf("%d plates in %d draws", plates, draws)
	if draws*3 > plates*2 {
		t.Errorf("%d plates took %d draws", plates, draws)
	}
}

// TestWhoGoesTogether looks at what pages let be drawn together, which stands in the
// place of their resources.
func TestWhoGoesTogether(t *testing.T) {
	const four = "1 .9 .8 .7 k 0 0 70 70 re f "
	form := func(group, colour string) []string {
		return []string{witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Resources << "+spots+" >> /Group << /S /Transparency "+group+" >>", "/Mode gs "+colour+" k 9 9 9 9 re f")}
	}
	list := []drawing{
		{name: "paint", content: four + "/Red cs .5 scn 0 0 9 9 re f", resources: "[Cyan Magenta Yellow][Black Red]"},
		{name: "an ink that nothing paints with", content: "1 0 0 .5 k 0 0 70 70 re f /Red cs 0 scn 9 9 9 9 re f", resources: "[Cyan Black]"},
		{name: "solid overprint", content: four + "/Mode gs 0 0 0 1 k 9 9 9 9 re f", resources: "[Cyan Magenta Yellow][Black]"},
		{name: "solid overprint of the first", content: four + "/Mode gs 1 0 0 0 k 9 9 9 9 re f", resources: "[Cyan Magenta Yellow][Black]"},
		{name: "overprint of a tint", content: four + "/Mode gs .5 0 0 0 k 9 9 9 9 re f", resources: "[Cyan][Magenta Yellow Black]"},
		{name: "a tint that multiplies", content: four + "/Mode gs /Multiply gs .5 0 0 0 k 9 9 9 9 re f", resources: "[Cyan Magenta Yellow][Black]"},
		{name: "a tint that isn't painted with", content: four + "/Mode gs .5 0 0 0 K 0 1 0 0 k 9 9 9 9 re f", resources: "[Cyan Magenta Yellow][Black]"},
		{name: "solid fill, tint around it", content: four + "/Mode gs .5 0 0 0 K 0 1 0 0 k 9 9 9 9 re B", resources: "[Cyan][Magenta][Yellow Black]"},
		{name: "solid overprint in an isolated group", content: four + "/F Do", objects: form("/I true", "1 0 0 0"), resources: "[Cyan Magenta Yellow][Black]"},
		// In a group that isn't isolated its white would cover what lies beneath.
		{name: "solid overprint in another group", content: four + "/F Do", objects: form("", "1 0 0 0"), resources: "[Cyan][Magenta Yellow Black]"},
		{name: "overprinting text", content: four + "/Mode gs 1 0 0 0 k BT /H 9 Tf 9 9 Td (H) Tj ET", objects: []string{"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>"}, resources: "[Cyan][Magenta Yellow Black]"},
		{name: "a mode that spots don't take", content: "1 .9 0 .7 k 0 0 70 70 re f /Difference gs /Red cs .5 scn 9 9 9 9 re f", resources: "[Cyan Magenta Black][Red]"},
	}
	for _, d := range list {
		want := d.resources
		if d.resources = ""; d.objects != nil {
			d.resources = "/XObject << /F 8 0 R >> /Font << /H 8 0 R >>"
		}
		set := New(opened(t, book(t, []drawing{d}), 1), nil, Options{DPI: 72})
		trios, err := set.trios(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, one := range trios {
			got += fmt.Sprint(set.names(one))
		}
		if got != want {
			t.Errorf("%s: %s, want %s", d.name, got, want)
		}
	}
}

// TestManyInks sorts more inks than a set has bits.
func TestManyInks(t *testing.T) {
	content, spaces := "", ""
	for i := range 70 {
		spaces += fmt.Sprintf("/S%d [/Separation /Ink%d /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 0 0] >>] ", i, i)
		content += fmt.Sprintf("/S%d cs 1 scn %d 0 1 72 re f ", i, i)
	}
	path := witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 72 72] /Contents 4 0 R /Resources << /ColorSpace << "+spaces+" >> >> >>", witness.Stream("", content))
	set := New(opened(t, path, 1), renderer(t), Options{DPI: 72})
	if len(set.Inks) != 70 {
		t.Fatalf("%d inks", len(set.Inks))
	}
	for i, img := range rasters(t, set) {
		if row := img.Pix[72*30 : 72*31]; bytes.Count(row, []byte{255}) != 1 || row[i] != 255 {
			t.Errorf("%s prints %v", set.Inks[i].Name, row)
		}
	}
	if len(set.sorted) != 24 { // 22 of 64, the last with one alone, and 2 of 6
		t.Errorf("%d draws", len(set.sorted))
	}
}
