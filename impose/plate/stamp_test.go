package plate

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// stampedFrame is a frame of 300 x 300 points with twelve labels, which are three
// objects each of two artworks: content comes before and after them. At 360 to the
// inch each label stands on whole pixels and the page is large.
func stampedFrame(t *testing.T, before, after, state string) string {
	const resources = "/Resources << " + proofInks + " /Shading << /S << /ShadingType 2 /ColorSpace /DeviceCMYK /Coords [0 0 40 0] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 1 0 0] /C1 [1 0 .5 0] >> >> >> /ExtGState << /Multiply << /BM /Multiply >> /Half << /ca .5 >> >> >>"
	const group = "/Group << /S /Transparency /I true /CS /DeviceCMYK >>"
	content := &strings.Builder{}
	content.WriteString(before)
	var forms []string
	names := ""
	for i := range 12 {
		x, y := 10+70*(i%4), 10+90*(i/4)
		// The clip leaves off what stands beyond 46 points.
		fmt.Fprintf(content, "q %d %d m %d %d l %d %d l %d %d l h W n /State gs 1 0 0 1 %d %d cm /L%d Do Q\n", x-2, y-2, x+46, y-2, x+46, y+62, x-2, y+62, x, y, i%6)
	}
	content.WriteString(after)
	for i := range 6 {
		names += fmt.Sprintf("/L%d %d 0 R ", i, 8+i)
		label := "q 40 0 0 60 0 0 cm /S sh Q 0 0 0 .7 k 5.3 5.7 20.2 11.1 re f"
		if i%2 == 1 {
			label = ".8 .2 0 0 k -5 -5 55 70 re f /Half gs 0 0 0 0 k 20 20 m 40 30 l 10 50 l f /Multiply gs /Gold cs .8 scn 30 20 30 30 re f"
		}
		forms = append(forms, witness.Stream("/Type /XObject /Subtype /Form /BBox [-5 -5 60 65] "+group+resources, label))
	}
	return witness.Handwritten(t, append([]string{
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 300 300] /Contents 4 0 R " + group + " /Resources << /ExtGState << /State << " + state + " >> /Over << /OP true /op true /OPM 1 >> /Multiply << /BM /Multiply >> /Half << /ca .5 >> >> " + proofInks + " /XObject << " + names + " >> >> >>",
		witness.Stream("", content.String()),
		"null",
		"<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 .3 .8 0] >>",
		witness.Stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{pop 0 exch dup 0}"),
	}, forms...)...)
}

// TestStampsAreTheSame draws frames with their labels placed and with each of them
// drawn anew.
func TestStampsAreTheSame(t *testing.T) {
	r := renderer(t)
	for _, c := range []struct {
		name, before, after, state string
		stamped                    bool
	}{
		{"labels alone", "", "", "", true},
		{"paint beneath", "q .2 .3 0 0 k 0 40 300 120 re f Q ", "", "", true},
		{"white above", "", "q 0 0 0 0 k 30 0 25 300 re f 0 1 0 .2 k 35 10 10 200 re f Q", "", true},
		{"overprint above", "", "q /Over gs 0 1 0 0 k 30 0 25 300 re f Q", "", true},
		{"multiply and half opacity above", "q .2 .3 0 0 k 0 40 300 120 re f Q ", "q /Multiply gs .3 .4 .5 .1 k 30 0 25 300 re f Q /Half gs 0 1 1 0 k 0 20 300 40 re f", "", true},
		{"labels that multiply", "q .2 .3 0 0 k 0 40 300 120 re f Q ", "", "/BM /Multiply", false},
		{"a soft mask", "", "", "/SMask << /S /Luminosity /G 9 0 R >>", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := opened(t, stampedFrame(t, c.before, c.after, c.state), 1)
			set := New(p, r, Options{DPI: 360})
			set.large = true
			trios, err := set.trios(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			for _, one := range trios {
				st, err := set.stamping(context.Background(), one)
				if err != nil || (st != nil) != c.stamped {
					t.Fatalf("stamps: %v, %v", st != nil, err)
				}
				if st == nil {
					continue
				}
				if bent, err := st.copies(context.Background(), io.Discard); bent || err != nil || len(st.paint) < 12 {
					t.Fatalf("%d paintings, bent %v: %v", len(st.paint), bent, err)
				}
			}
			if !c.stamped {
				return // it is drawn like any page
			}
			ours := rasters(t, set)
			set.noStamps = true
			for i, anew := range rasters(t, set) {
				// The renderer puts the edge of what multiplies a pixel to this side or
				// that: one of 300 points is the 2000th part of all.
				if n := farApart(ours[i].Pix, anew.Pix); n*1000 > len(anew.Pix) {
					t.Errorf("%s: %d of %d pixels differ", set.Inks[i].Name, n, len(anew.Pix))
				}
				if bytes.Count(anew.Pix, []byte{0}) == len(anew.Pix) && set.Inks[i].Name != "Old Gold" {
					t.Errorf("%s: nothing was drawn", set.Inks[i].Name)
				}
			}
		})
	}
}

func farApart(a, b []byte) (n int) {
	for i, v := range a {
		if max(int(v)-int(b[i]), int(b[i])-int(v)) > 3 {
			n++
		}
	}
	return n
}

// TestStampsAreFew counts the labels that are drawn, and tells forms apart by what
// they hold.
func TestStampsAreFew(t *testing.T) {
	p := opened(t, stampedFrame(t, "", "0 0 0 1 k 0 0 5 5 re f", ""), 1)
	set := New(p, renderer(t), Options{DPI: 360})
	st, err := set.stamping(context.Background(), trio{0})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := st.copies(context.Background(), io.Discard); err != nil {
		t.Fatal(err)
	}
	if len(st.first) != 2 || st.run != (span{0, 12}) || len(st.paint) != 13 {
		t.Errorf("%d kinds, the run %v of %d paintings", len(st.first), st.run, len(st.paint))
	}
	cache := OpenCache(t.TempDir(), 64<<20)
	set = New(p, set.renderer, Options{DPI: 360, Cache: cache})
	set.large = true
	first, err := set.Raster(context.Background(), 0)
	if err != nil {
		t.Fatal(err)
	}
	set = New(p, nil, Options{DPI: 360, Cache: cache}) // no renderer
	set.large = true
	kept, err := set.Raster(context.Background(), 0)
	if err != nil || !bytes.Equal(first.Pix, kept.Pix) {
		t.Errorf("another plate came out of the cache: %v", err)
	}
	small := New(p, renderer(t), Options{DPI: 144})
	if done, err := small.drawStamped(context.Background(), trio{0}, nil); done || err != nil {
		t.Errorf("a small page is stamped: %v", err)
	}
}
