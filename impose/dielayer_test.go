package impose

import (
	"slices"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/witness"
)

// TestDieLineIsSeenAndNeverPrinted: the die line of an artwork, in a technical
// ink, stands on a layer of the frame that is off: no plate has it, and with the
// layer on it is seen on every trim.
func TestDieLineIsSeenAndNeverPrinted(t *testing.T) {
	label := witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 113.3858268 113.3858268] /Resources << /ColorSpace << /D [/Separation /Cutting /DeviceCMYK "+
			"<< /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] >>] >> >> >>",
		witness.Stream("", "1 0 0 0 k 30 30 50 50 re f /D CS 1 SCN 0 0 113.3858268 113.3858268 re S"),
	)
	j := placingJob(label)
	j.Inks.Spot, j.Inks.Technical = nil, []string{"Cutting"}
	j.WebWidth = 100 * geometry.Millimetre
	im, out := imposed(t, j)
	witness.NoComplaint(t, out)
	i := slices.IndexFunc(im.Frame.Items, func(item draw.Item) bool { return item.On() == draw.DieLine })
	if i < 0 {
		t.Fatal("no die line")
	}
	want := im.Layout.Station[0].Trim.Union(im.Layout.Station[len(im.Layout.Station)-1].Trim)
	if got := im.Frame.Items[i].(draw.Stroke).Path.Bounds(); got != want {
		t.Errorf("the die lines lie in %v, want %v", got, want)
	}
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	if l := s.Written.Layers; len(l) != 1 || l[0].Name != "Die line" || l[0].On {
		t.Errorf("layers %+v", l)
	}
	if testing.Short() {
		return
	}
	r := platesOf(t, out, 254)
	for name := range r.plates {
		if got := r.at(name, im.Layout.Station[0].Trim.Min.Add(geometry.Size{Across: 20 * geometry.Millimetre})); got != 0 {
			t.Errorf("the die line is on plate %s: %d of 255", name, got)
		}
	}
	// Colours are still there, so that this looks at the right file.
	if c := r.at("Cyan", im.Layout.Station[0].Trim.Centre()); c != 255 {
		t.Errorf("cyan is %d", c)
	}
}
