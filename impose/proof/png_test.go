package proof

import (
	"bytes"
	"image/color"
	"image/png"
	"testing"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/witness"
)

// opened opens a job of two lanes of a label of 40 mm whose left half is magenta,
// with what is painted after it.
func opened(t *testing.T, after string, change func(*job.Job)) *impose.Imposition {
	t.Helper()
	spot := func(name string) string {
		return "[/Separation /" + name + " /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 0 0 0] >>]"
	}
	j := job.New()
	j.WebWidth, j.Repeat.Longest = 120*geometry.Millimetre, 60*geometry.Millimetre
	j.Turns = []geometry.Turn{geometry.Turn0}
	j.Artworks = []job.Artwork{{Page: 1, Quantity: 1000, File: witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 113.3858268 113.3858268] "+
			"/Resources << /ColorSpace << /W "+spot("White")+" /V "+spot("Varnish")+" >> /ExtGState << /O << /OP true /op true /OPM 1 >> >> >> >>",
		witness.Stream("", "0 1 0 0 k 0 0 56.7 113.4 re f "+after))}}
	change(j)
	im, err := impose.Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { im.Close() })
	return im
}

// over is how an ink looks on a ground: it takes its share of the light away.
func over(ink, ground color.NRGBA) color.NRGBA {
	part := func(a, b uint8) uint8 { return uint8(int(a) * int(b) / 255) }
	return color.NRGBA{part(ink.R, ground.R), part(ink.G, ground.G), part(ink.B, ground.B), 255}
}

// TestProofShowsTheLabel: white and varnish that are painted last and overprint
// hide nothing. What white lies under is white, the rest is like film; of a frame
// for the second surface the first view reads right and the other is mirrored.
func TestProofShowsTheLabel(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pictures")
	}
	magenta, white, ground := color.NRGBA{236, 0, 140, 255}, color.NRGBA{255, 255, 255, 255}, film
	for _, c := range []struct {
		name, after string
		change      func(*job.Job)
		left, right color.NRGBA
	}{
		{"white of the artwork's own", "/O gs /W cs 1 scn 0 0 114 114 re f", func(*job.Job) {}, magenta, white},
		{"a varnish", "/O gs /V cs 1 scn 0 0 114 114 re f", func(*job.Job) {}, magenta, white},
		{"white of its own under one half", "/O gs /W cs 1 scn 0 0 56.7 114 re f", func(*job.Job) {}, magenta, ground},
		{"white of its own under the other half", "/O gs /W cs 1 scn 56.7 0 57.3 114 re f", func(*job.Job) {}, over(magenta, ground), white},
		{"white beneath, knocked out by a colour", "q /W cs 1 scn 0 0 114 114 re f Q 0 1 0 0 k 0 0 56.7 114 re f", func(*job.Job) {}, over(magenta, ground), white},
		{"a colour that overprints", "/O gs 0 0 1 0 k 0 0 114 114 re f /W cs 1 scn 0 0 114 114 re f", func(*job.Job) {}, color.NRGBA{230, 0, 0, 255}, color.NRGBA{255, 242, 0, 255}},
		{"a flood beneath", "", func(j *job.Job) { j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.Flood, Hits: 1} }, magenta, white},
		{"white in the artwork's shape", "", func(j *job.Job) { j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.ByShape, Hits: 1} }, magenta, ground},
		{"the same on the second surface", "", func(j *job.Job) {
			j.Inks.Underprint, j.Mirror = &job.Underprint{Ink: "White", Shape: job.ByShape, Hits: 1}, true
		}, magenta, ground},
	} {
		im := opened(t, c.after, c.change)
		var b bytes.Buffer
		const dpi = 127 // 5 pixels a millimetre
		if err := PNG(t.Context(), &b, im, dpi, func(string) {}); err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		head := img.Bounds().Dy() - int(im.Frame.Size.Around.MM()*5+.5)
		far := func(a, b uint8) bool { return max(a, b)-min(a, b) > 25 } // looks of inks are a renderer's own
		see := func(where string, p geometry.Position, want color.NRGBA) {
			got := color.NRGBAModel.Convert(img.At(int(p.Across.MM()*5), head+int(p.Around.MM()*5))).(color.NRGBA)
			if far(got.R, want.R) || far(got.G, want.G) || far(got.B, want.B) {
				t.Errorf("%s, %s: %v, want %v", c.name, where, got, want)
			}
		}
		for _, s := range im.AsSeen.Station {
			m := s.Trim.Centre()
			see("left", m.Add(geometry.Size{Across: -10 * geometry.Millimetre}), c.left)
			see("right", m.Add(geometry.Size{Across: 10 * geometry.Millimetre}), c.right)
			if im.Job.Mirror {
				whole := geometry.FromMM(float64(img.Bounds().Dx()) / 5)
				m.Across = whole - m.Across
				see("printed face, left", m.Add(geometry.Size{Across: -10 * geometry.Millimetre}), c.right)
				see("printed face, right", m.Add(geometry.Size{Across: 10 * geometry.Millimetre}), c.left)
			}
		}
	}
}

// TestSecondSurfaceIsSeenThroughTheFilm: labels' pictures read right, and the page
// frames a station where the picture has it.
func TestSecondSurfaceIsSeenThroughTheFilm(t *testing.T) {
	var labels [2]bytes.Buffer
	for i, mirror := range []bool{false, true} {
		im := opened(t, "", func(j *job.Job) { j.Mirror, j.Lanes = mirror, 2 })
		if err := im.Pictures().Label(t.Context(), &labels[i], 0); err != nil {
			t.Fatal(err)
		}
		s, err := im.Summary(impose.Written{})
		if err != nil {
			t.Fatal(err)
		}
		for k, st := range describe(im, s) {
			if want := im.AsSeen.Station[k].Trim.Min.Across.MM(); st.Box[0] != want {
				t.Errorf("second surface %t: station %d is framed at %g mm, and seen at %g mm", mirror, k, st.Box[0], want)
			}
		}
	}
	if !bytes.Equal(labels[0].Bytes(), labels[1].Bytes()) {
		t.Error("the label of the second surface is another one than that of the first, though both are seen upright")
	}
}
