package impose

import (
	"os"
	"testing"
)

// Pictures of records are decoded once, however often the job is changed, and anew
// where their bytes or their room are others.
func TestShelfKeepsPictures(t *testing.T) {
	j := pictureJob(t, "", "cat.png,1", "grey.jpg,2")
	var s Shelf
	defer s.Close()
	open := func() *pictures {
		t.Helper()
		im, err := s.Open(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		defer im.Close()
		if len(im.Named) != 2 || im.Named[0].Size().Across != j.Fields[0].Width {
			t.Fatalf("%d pictures, the first of %s", len(im.Named), im.Named[0].Size())
		}
		return s.pictures
	}
	first := open()
	j.Fields[0].At.Across += 1_000_000
	if open() != first {
		t.Error("the pictures were decoded again for a field that was moved")
	}
	j.Fields[0].Width += 1_000_000
	other := open()
	if other == first {
		t.Error("the pictures are those of another room")
	}
	path := j.Path("cat.png")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, append(text, 0), 0o600); err != nil { // behind its end
		t.Fatal(err)
	}
	if open() == other {
		t.Error("the pictures are those of other bytes")
	}
}
