package plate

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/artwork"
	"quoin/impose/witness"
)

// TestPlateShowsWhereTheInkIs looks at single pixels of a drawing.
func TestPlateShowsWhereTheInkIs(t *testing.T) {
	p := opened(t, book(t, []drawing{{content: "/Red cs .5 scn 36 0 36 72 re f"}}), 1)
	set := New(p, renderer(t), Options{DPI: 144})
	if g := set.Grid; g.Width != 144 || g.Height != 144 || g.Box != p.Boxes.Bleed {
		t.Fatalf("the grid is %+v", g)
	}
	if len(set.Inks) != 1 || set.Inks[0].Name != "Red" {
		t.Fatalf("the inks are %v", set.Inks)
	}
	img, err := set.Raster(context.Background(), 0)
	if err != nil {
		t.Fatal(err)
	}
	for x, want := range map[int]uint8{10: 0, 71: 0, 72: 128, 143: 128} {
		if got := img.GrayAt(x, 70).Y; got < want-min(want, 1) || got > want+1 {
			t.Errorf("pixel %d is %d, want %d", x, got, want)
		}
	}
	// 72 points are 25.4 mm; the first pixel's centre is half a pixel in.
	if at := set.Place(0, 0); at.Across.MM() < .08 || at.Across.MM() > .09 || at.Around != at.Across {
		t.Errorf("the first pixel lies at %v", at)
	}
}

// TestCancelled ends a drawing between its bands.
func TestCancelled(t *testing.T) {
	p := opened(t, book(t, []drawing{plainDrawings[0]}), 1)
	set := New(p, renderer(t), Options{DPI: 3000})
	ctx, cancel := context.WithCancel(context.Background())
	bands := 0
	err := set.Draw(ctx, []int{0}, func(int, Band) error {
		bands++
		cancel()
		return nil
	})
	if !errors.Is(err, context.Canceled) || bands != 1 {
		t.Errorf("after %d bands: %v", bands, err)
	}
	stop := errors.New("enough")
	if err := set.Draw(context.Background(), []int{0}, func(int, Band) error { return stop }); !errors.Is(err, stop) {
		t.Errorf("the taker's error is lost: %v", err)
	}
}

// TestCache draws once, takes from the cache, and draws again what is damaged.
func TestCache(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "plates")
	cache := OpenCache(dir, 1<<20)
	p := opened(t, book(t, []drawing{plainDrawings[0]}), 1)
	r := renderer(t)
	draw := func(p *artwork.Page, cache *Cache) []byte {
		t.Helper()
		img, err := New(p, r, Options{Cache: cache}).Raster(context.Background(), 0)
		if err != nil {
			t.Fatal(err)
		}
		return img.Pix
	}
	first := draw(p, cache)
	kept, _ := filepath.Glob(filepath.Join(dir, "*"))
	if len(kept) != 1 {
		t.Fatalf("kept are %v", kept)
	}
	r2 := New(p, nil, Options{Cache: cache}) // no renderer: it must come from the cache
	img, err := r2.Raster(context.Background(), 0)
	if err != nil || !bytes.Equal(img.Pix, first) {
		t.Errorf("another plate came out of the cache: %v", err)
	}
	data, err := os.ReadFile(kept[0])
	if err != nil {
		t.Fatal(err)
	}
	data[len(data)/2] ^= 0xff
	if err := os.WriteFile(kept[0], data, 0o600); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(draw(p, cache), first) {
		t.Error("a damaged plate was believed")
	}
	small := OpenCache(dir, 1)
	draw(opened(t, book(t, []drawing{plainDrawings[1]}), 1), small)
	if left, _ := filepath.Glob(filepath.Join(dir, "*")); len(left) != 0 {
		t.Errorf("a cache of one byte keeps %v", left)
	}
}

// TestCoverage measures a label of which the shares are known.
func TestCoverage(t *testing.T) {
	d := drawing{content: "1 0 0 0 k 0 0 36 72 re f 0 .5 0 1 k 18 0 18 72 re f /Over gs /Red cs .01 scn 0 0 1 1 re f /Blue cs 1 scn 30 60 6 6 re f"}
	p := opened(t, book(t, []drawing{d}), 1)
	c, err := Coverage(context.Background(), p, renderer(t), CoverageOptions{Limit: 200})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"Cyan": 25, "Magenta": 12.5, "Black": 25, "Red": 100. / 72 / 72 * .01, "Blue": 3600. / 72 / 72}
	for _, k := range c.Inks {
		if d := k.Trim - want[k.Name]; d > .2 || d < -.2 || k.Bleed != k.Trim {
			t.Errorf("%s covers %v and %v, want %v", k.Name, k.Trim, k.Bleed, want[k.Name])
		}
		delete(want, k.Name)
	}
	if len(want) > 0 {
		t.Errorf("inks are missing: %v", want)
	}
	// .5 magenta, black and blue, at 30 to 36 points across and 6 to 12 around.
	if c.TotalMax < 249 || c.TotalMax > 251 {
		t.Errorf("the total is %v", c.TotalMax)
	}
	if at := c.TotalMaxAt; at[0] < 10.5 || at[0] > 12.8 || at[1] < 2.1 || at[1] > 4.3 {
		t.Errorf("the largest total lies at %v mm", at)
	}
	if len(c.Findings) != 2 {
		t.Errorf("the findings are %q, want the sparse ink and the total", c.Findings)
	}
}

// TestFineDetails finds small text and thin lines that several inks must meet on.
func TestFineDetails(t *testing.T) {
	const font = "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>"
	d := drawing{resources: font, content: `.6 .4 0 0 k 0 0 72 20 re f BT /F 6 Tf
 0 0 0 1 k 6 60 Td (one ink) Tj .5 .4 .4 1 k 0 -10 Td (four inks) Tj /F 12 Tf 0 -14 Td (large) Tj
 /F 5 Tf 0 0 0 0 k 0 -28 Td (left out of two) Tj 0 50 Td (left out of paper) Tj ET
 1 0 0 .5 K .5 w 6 24 m 60 24 l S 2 w 6 28 m 60 28 l S`}
	p := opened(t, book(t, []drawing{d}), 1)
	c, err := Coverage(context.Background(), p, renderer(t), CoverageOptions{})
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"text of 6 pt stands in 4 inks, Black, Cyan, Magenta, Yellow, at 2.2 mm across, 7.8 mm around: the least error of register blurs it",
		"a line of 0.5 pt stands in 2 inks, Black, Cyan, at 2.2 mm across, 17.0 mm around: the least error of register blurs it",
		"text of 5 pt is left out of 2 inks, Cyan, Magenta, at 2.2 mm across, 22.6 mm around: the least error of register blurs it",
	}
	if len(c.Findings) != len(want) {
		t.Fatalf("found:\n%s", strings.Join(c.Findings, "\n"))
	}
	for i := range want {
		if c.Findings[i] != want[i] {
			t.Errorf("found %q, want %q", c.Findings[i], want[i])
		}
	}
}

// TestCoverageOfASmallPage measures solid ink on a page of 14.1 mm, on which the last
// pixels lie in part only: it is all of the page at any resolution.
func TestCoverageOfASmallPage(t *testing.T) {
	p := opened(t, witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 40 40] /Contents 4 0 R /Resources << >> >>",
		witness.Stream("", "1 0 0 0 k -9 -9 99 99 re f")), 1)
	r := renderer(t)
	for _, dpi := range []float64{20, 31, 72, 300} {
		c, err := Coverage(context.Background(), p, r, CoverageOptions{DPI: dpi})
		if err != nil {
			t.Fatal(err)
		}
		if k := c.Inks[0]; k.Trim < 99.6 || k.Bleed < 99.6 {
			t.Errorf("%g dpi: %s covers %v of the trim and %v with bleed", dpi, k.Name, k.Trim, k.Bleed)
		}
	}
}
