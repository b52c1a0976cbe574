package miniature

import (
	"bytes"
	"image/jpeg"
	"testing"

	"quoin/impose"
	"quoin/impose/job"
)

// Labels are drawn upright, as large as said, each of the sample's differently;
// and one that was drawn is not drawn again.
func TestLabelsOfTheSample(t *testing.T) {
	j, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	im, err := impose.Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	p := Painter{Say: func(string) {}}
	defer p.Close()
	first, err := p.Labels(t.Context(), im)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for i, img := range first {
		size := img.Bounds().Size()
		if size.Y < Long || size.Y > Long*11/10 || size.X >= size.Y {
			t.Errorf("label %d of 50 x 75 mm is drawn as %v", i+1, size)
		}
		var data bytes.Buffer
		if err := JPEG(&data, img); err != nil {
			t.Fatal(err)
		}
		if _, err := jpeg.Decode(bytes.NewReader(data.Bytes())); err != nil {
			t.Errorf("label %d: %v", i+1, err)
		}
		seen[data.String()] = true
	}
	if len(seen) != 3 {
		t.Errorf("three labels give %d pictures", len(seen))
	}
	again, err := p.Labels(t.Context(), im)
	if err != nil {
		t.Fatal(err)
	}
	for i := range again {
		if again[i] != first[i] {
			t.Errorf("label %d was drawn twice", i+1)
		}
	}
}
