package plate

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/witness"
)

// labelOf is a page of 120 x 100 points with a trim of 100 x 80 and a bleed box
// 8 points (2.8 mm) beyond it. keys are more of the page's.
func labelOf(t *testing.T, keys, content string) *artwork.Page {
	t.Helper()
	return opened(t, witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 120 100] /TrimBox [10 10 110 90] /BleedBox [2 2 118 98] /Contents 4 0 R "+keys+
			" /Resources << /Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >> /ColorSpace << /Cut [/Separation /Cutting /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 0 0] >>] >> >> >>",
		witness.Stream("", content)), 1)
}

// found gives the findings of a code on a page's plates.
func found(t *testing.T, p *artwork.Page, code string, opt CoverageOptions) (texts []string) {
	t.Helper()
	c, err := Coverage(context.Background(), p, renderer(t), opt)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range c.Found {
		if f.Code == code {
			texts = append(texts, f.Text)
		}
	}
	if len(c.Found) != len(c.Findings) {
		t.Errorf("%d findings with codes, %d without", len(c.Found), len(c.Findings))
	}
	return texts
}

// circle is a round cutting line of a radius about the middle of the label.
func circle(r float64) string {
	k := r * .5523
	return fmt.Sprintf("/Cut CS 1 SCN %g 50 m %g %g %g %g 60 %g c %g %g %g %g %g 50 c %g %g %g %g 60 %g c %g %g %g %g %g 50 c h S ",
		60+r, 60+r, 50+k, 60+k, 50+r, 50+r, 60-k, 50+r, 60-r, 50+k, 60-r, 60-r, 50-k, 60-k, 50-r, 50-r, 60+k, 50-r, 60+r, 50-k, 60+r)
}

func TestEmptyBleed(t *testing.T) {
	const gap = "the bleed is empty on the "
	for _, c := range []struct{ name, keys, content, want string }{
		{"ink all over", "", "1 0 0 0 k 0 0 120 100 re f", ""},
		{"bare label", "", "1 0 0 0 k 30 30 40 30 re f", ""},
		{"ends at the left", "", "1 0 0 0 k 10 0 110 100 re f", "left: along 28.2 of 28.2 mm, ink that reaches the trim ends there"},
		{"ends at the left, turned", "/Rotate 90", "1 0 0 0 k 10 0 110 100 re f", "top: along 28.2 of 28.2 mm"},
		{"ends at the left, upside down", "/Rotate 180", "1 0 0 0 k 10 0 110 100 re f", "right: along 28.2 of 28.2 mm"},
		{"in units of two points", "/UserUnit 2", "1 0 0 0 k 10 0 110 100 re f", "left: along 56.4 of 56.4 mm, ink that reaches the trim ends there, though the page has room for 5.0 mm"},
		{"ends half a millimetre beyond", "", "1 0 0 0 k 0 8.583 120 100 re f", "bottom: along 35.3 of 35.3 mm, ink that reaches the trim ends 0.5 mm beyond it, though the page has room for 2.8 mm"},
		{"ends where half of the side is bare", "", "1 0 0 0 k 10 50 50 60 re f", "left: along 14.1 of 28.2 mm"},
		{"ends 1.2 mm beyond, more than is asked for", "", "1 0 0 0 k 6.6 6.6 106.8 86.8 re f", ""},
		{"a line along the cut", "", "0 0 0 1 K .5 w 10 10 100 80 re S", ""},
		{"white in the page's own colour", "", "1 0 0 0 k 0 0 120 100 re f 0 0 0 0 k 0 0 10 100 re f", "left: along 28.2"},
		{"round, with bleed", "", "1 0 0 0 k 22 12 76 76 re f " + circle(34), ""},
		{"round, without", "", "q 60 50 m " + strings.Replace(circle(34), "/Cut CS 1 SCN", "", 1) + " Q 1 0 0 0 k 26 12 80 76 re f " + circle(34), "left: along"},
	} {
		texts := found(t, labelOf(t, c.keys, c.content), artwork.BleedEmpty, CoverageOptions{})
		switch {
		case c.want == "" && len(texts) > 0:
			t.Errorf("%s: %q", c.name, texts)
		case c.want != "" && (len(texts) != 1 || !strings.HasPrefix(texts[0], gap+c.want)):
			t.Errorf("%s: got %q, want %q", c.name, texts, c.want)
		}
	}
}

func TestNearCut(t *testing.T) {
	const mm = 72 / 25.4
	bars := func(x, y float64) string {
		text := "0 0 0 1 k "
		for i := range 12 {
			text += fmt.Sprintf("%g %g 1 20 re ", x+2*float64(i), y)
		}
		return text + "f "
	}
	written := func(x, y float64) string { return fmt.Sprintf("0 0 0 1 k BT /F 6 Tf %g %g Td (HI) Tj ET ", x, y) }
	all := "1 0 0 0 k 0 0 120 100 re f "
	for _, c := range []struct {
		name, keys, content, want string
		least                     geometry.Length
	}{
		{"text far enough", "", all + written(10+1.1*mm, 40), "", 0},
		{"text near the left", "", all + written(10+.2*mm, 40), "text stands 0.", 0},
		{"text near the left by a strict rule", "", written(10+1.1*mm, 40), "text stands 1.", 2 * geometry.Millimetre},
		{"no rule", "", all + written(10+.2*mm, 40), "", -1},
		{"bars near the bottom", "", bars(40, 10+.5*mm), "a bar, a line or a letter drawn as an outline stands 0.50 mm from the trim, at 10.6 mm across, 20.7 mm around", 0},
		{"bars near the bottom, turned", "/Rotate 90", bars(40, 10+.5*mm), "a bar, a line or a letter drawn as an outline stands 0.50 mm from the trim", 0},
		{"bars in units of two points", "/UserUnit 2", bars(40, 10+.5*mm), "", 0},
		{"bars that go through the cut", "", bars(40, 5), "", 0},
		{"a frame near the cut", "", "0 0 0 1 K 1 w " + fmt.Sprintf("%g %g %g %g re S", 10+.7*mm, 10+.7*mm, 100-1.4*mm, 80-1.4*mm), "a bar, a line or a letter drawn as an outline stands 0.52 mm from the trim", 0},
		{"a panel near the cut", "", "0 0 0 1 k " + fmt.Sprintf("%g 20 50 50 re f", 10+.5*mm), "", 0},
		{"bars that nobody can see", "", strings.Replace(bars(40, 10+.5*mm), "0 0 0 1", "0 0 0 0", 1), "", 0},
		{"a part of a picture", "", all + "0 1 0 0 k 30 0 90 11 re f " + bars(40, 10+.6*mm), "", 0},
		{"bars in the middle of a round label", "", bars(40, 40) + circle(34), "", 0},
		{"bars near the edge of a round label", "", bars(28, 40) + circle(34), "a bar, a line or a letter drawn as an outline stands 0.", 0},
		{"bars beside a round label", "", bars(10.5, 12) + circle(20), "", 0},
	} {
		texts := found(t, labelOf(t, c.keys, c.content), artwork.NearCut, CoverageOptions{FromCut: c.least})
		switch {
		case c.want == "" && len(texts) > 0:
			t.Errorf("%s: %q", c.name, texts)
		case c.want != "" && (len(texts) != 1 || !strings.HasPrefix(texts[0], c.want)):
			t.Errorf("%s: got %q, want %q", c.name, texts, c.want)
		}
	}
}
