package again_test

import (
	"fmt"
	"image"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"quoin/impose/again"
	"quoin/impose/artwork"
	"quoin/impose/raster"
	"quoin/impose/summary"
	"quoin/impose/witness"
)

// label is one page of 144 x 72 pt, 50.8 x 25.4 mm, in a file of so many pages.
type label struct {
	trim, bleed, resources, content string
	pages                           int
}

func (l label) open(t *testing.T) *artwork.Page {
	t.Helper()
	if l.trim == "" {
		l.trim = "[9 9 153 81]"
	}
	if l.bleed == "" {
		l.bleed = "[4 4 158 86]"
	}
	kids := ""
	for range max(1, l.pages) {
		kids += "3 0 R "
	}
	path := witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		fmt.Sprintf("<< /Type /Pages /Kids [%s] /Count %d >>", kids, max(1, l.pages)),
		fmt.Sprintf("<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << %s >> /MediaBox [0 0 162 90] /TrimBox %s /BleedBox %s >>", l.resources, l.trim, l.bleed),
		witness.Stream("", l.content),
		"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 .9 .8 0] /N 1 >>",
	)
	f, err := artwork.Open(path, artwork.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	p, err := f.Page(1)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

const (
	plain = "1 .3 0 0 k 0 0 162 90 re f"
	spot  = "/ColorSpace << /S [/Separation /Sloe /DeviceCMYK 5 0 R] >>"
	fontA = "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /ABCDEF+Helvetica >> >>"
	fontB = "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /GHIJKL+Helvetica >> >>"
	times = "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Times-Roman >> >>"
	text  = plain + " 0 0 0 1 k BT /F 9 Tf 20 50 Td (x) Tj ET"
)

func imaged(side int) label {
	return label{content: plain +
		fmt.Sprintf(" q 72 0 0 72 20 10 cm BI /W %d /H %d /BPC 8 /CS /G ID %s EI Q", side, side, string(make([]byte, side*side)))}
}

// TestChanges changes one thing after the other. Sizes in points are turned by
// hand: 144 pt are 50.8 mm, 5 pt of bleed 1.7639 mm.
func TestChanges(t *testing.T) {
	for name, c := range map[string]struct {
		was, now label
		want     []summary.Change
	}{
		"nothing": {label{content: plain}, label{content: plain + " "}, []summary.Change{}},
		"trim":    {label{content: plain}, label{content: plain, trim: "[9 9 153 45]", bleed: "[4 4 158 50]"}, []summary.Change{{Code: "trim", Was: "50.8 x 25.4 mm", Now: "50.8 x 12.7 mm"}}},
		"bleed":   {label{content: plain}, label{content: plain, bleed: "[9 9 153 81]"}, []summary.Change{{Code: "bleed", Was: "1.764 mm on every side", Now: "0 mm on every side"}}},
		"pages":   {label{content: plain}, label{content: plain, pages: 2}, []summary.Change{{Code: "pages", Was: "1 page", Now: "2 pages"}}},
		"ink":     {label{content: plain}, label{resources: spot, content: plain + " /S cs 1 scn 20 20 9 9 re f"}, []summary.Change{{Code: "ink", Was: "not there", Now: "Sloe (spot)"}}},
		"subset":  {label{resources: fontA, content: text}, label{resources: fontB, content: text}, []summary.Change{}},
		"font": {label{resources: fontA, content: text}, label{resources: times, content: text}, []summary.Change{
			{Code: "font", Was: "Helvetica, not embedded", Now: "gone"}, {Code: "font", Was: "not there", Now: "Times-Roman, not embedded"}}},
		"image": {imaged(40), imaged(20), []summary.Change{{Code: "image", Was: "1 image, the lowest at 40 ppi", Now: "1 image, the lowest at 20 ppi"}}},
	} {
		got := again.Changes(c.was.open(t), c.now.open(t))
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// TestLook: a patch of 36 x 18 pt on a trim of 144 x 72 is 6.25 % of it; it begins
// 72 pt, 25.4 mm, from the left and ends 36 pt, 12.7 mm, from the top. The
// place is sought in a square of 8 mm, so it is as high as the patch and
// as wide as the square at most.
func TestLook(t *testing.T) {
	r, err := raster.New(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	was, now := label{content: plain}.open(t), label{content: plain + " 0 0 0 1 k 81 45 36 18 re f"}.open(t)
	var a summary.Again
	picture, err := again.Look(t.Context(), r, was, now, &a)
	if err != nil || picture == nil {
		t.Fatal(picture, err)
	}
	if math.Abs(*a.Percent-6.25) > 0.4 {
		t.Errorf("differs in %g %%", *a.Percent)
	}
	if p := *a.PlaceMM; p[0] < 25.1 || p[2] > 38.4 || math.Abs(p[1]-6.35) > 0.3 || math.Abs(p[3]-12.7) > 0.3 {
		t.Errorf("differs at %v", p)
	}
	var same, other summary.Again
	if picture, err := again.Look(t.Context(), r, was, was, &same); err != nil || picture != nil || *same.Percent != 0 || same.PlaceMM != nil {
		t.Errorf("the same: %v, %+v", err, same)
	}
	small := label{content: plain, trim: "[9 9 153 45]", bleed: "[4 4 158 50]"}.open(t)
	if picture, err := again.Look(t.Context(), r, was, small, &other); err != nil || picture != nil || *other.Percent != 100 {
		t.Errorf("another size: %v, %+v", err, other)
	}
	if all := again.Stack([]image.Image{picture, picture}).Bounds(); all.Dx() != picture.Bounds().Dx() || all.Dy() != 2*picture.Bounds().Dy()+16 {
		t.Errorf("two pictures take %v", all)
	}
}
