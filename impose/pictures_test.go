package impose

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/job"
)

// pictureJob is a job whose records name pictures in a folder: cat.png of
// 200 x 100 pixels, grey.jpg of 400 x 400, tiny.png of 9 x 9.
func pictureJob(t *testing.T, fit string, names ...string) *job.Job {
	t.Helper()
	dir := t.TempDir()
	save := func(name string, write func(f *os.File) error) {
		f, err := os.Create(filepath.Join(dir, name))
		if err == nil {
			err = write(f)
		}
		if err == nil {
			err = f.Close()
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	cat := image.NewNRGBA(image.Rect(0, 0, 200, 100))
	for i := range cat.Pix {
		cat.Pix[i] = byte(i * 7)
	}
	grey := image.NewGray(image.Rect(0, 0, 400, 400))
	tiny := image.NewGray(image.Rect(0, 0, 9, 9))
	tiny.Set(1, 1, color.Gray{Y: 77})
	save("cat.png", func(f *os.File) error { return png.Encode(f, cat) })
	save("grey.jpg", func(f *os.File) error { return jpeg.Encode(f, grey, nil) })
	save("tiny.png", func(f *os.File) error { return png.Encode(f, tiny) })
	save("cut.jpg", func(f *os.File) error {
		whole, err := os.ReadFile(filepath.Join(dir, "grey.jpg"))
		if err == nil {
			_, err = f.Write(whole[:len(whole)-300])
		}
		return err
	})
	save("codes.csv", func(f *os.File) error {
		_, err := fmt.Fprintf(f, "pic,n\n%s\n", strings.Join(names, "\n"))
		return err
	})
	label, err := filepath.Abs("../samples/artwork/orchard-juice.pdf")
	if err != nil {
		t.Fatal(err)
	}
	save("job.yaml", func(f *os.File) error {
		_, err := fmt.Fprintf(f, `web: 340mm
edge: 5mm
label: 50x75mm
gap: 3x3mm
frame-max: 320mm
artworks: [{file: %q}]
windings: 2
data: {file: codes.csv, device-dpi: 1200dpi, unique: none}
fields: [{name: photo, picture: "{pic}", at: 2x2mm, width: 20mm, height: 20mm%s}]
`, label, fit)
		return err
	})
	j, err := job.Houses(nil).ReadJob(filepath.Join(dir, "job.yaml"), nil)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func varied(t *testing.T, j *job.Job) (warnings string, err error) {
	t.Helper()
	im, err := Open(t.Context(), j)
	if err != nil {
		return "", err
	}
	defer im.Close()
	records, err := im.Records()
	if err != nil {
		return "", err
	}
	_, notes, err := im.Vary(context.Background(), records, nil)
	for _, n := range notes {
		warnings += n.Code + ": " + n.Text + "\n"
	}
	return warnings, err
}

// Pictures are judged as artwork is: resolution where they are placed, colours
// without a meaning, each thing once.
func TestPicturesOfRecordsAreJudged(t *testing.T) {
	said, err := varied(t, pictureJob(t, "", "cat.png,1", "grey.jpg,2", "tiny.png,3", "cat.png,4"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"image-low-resolution: tiny.png: image Im0, 9 x 9 pixels, has 11 ppi where it is placed",
		"rgb: cat.png: DeviceRGB is used in images",
		"rgb-without-space: cat.png: ",
	} {
		if strings.Count(said, want) != 1 {
			t.Errorf("%q isn't said once in\n%s", want, said)
		}
	}
	// 200 x 100 pixels in 20 x 20 mm: 20 mm long if whole, 40 mm if they fill it.
	if said, err = varied(t, pictureJob(t, ", fit: fill", "cat.png,1")); err != nil || !strings.Contains(said, "has 127 ppi") {
		t.Errorf("%v, %s", err, said)
	}
}

// Each fault stops the run with its file, record and line, before anything is
// written, and a picture that changes is another run.
func TestPicturesOfRecordsThatCannotBePrinted(t *testing.T) {
	for _, c := range []struct{ fit, name, want string }{
		{"", "no.png", "codes.csv:3: record 2: no.png: the picture can't be read"},
		{"", "cut.jpg", "codes.csv:3: record 2: cut.jpg: the picture is damaged"},
		{"", "codes.csv", "codes.csv:3: record 2: "},
		{", fit: whole", "label.pdf", "codes.csv:3: record 2: label.pdf: a page of a PDF is placed at its own size"},
	} {
		_, err := varied(t, pictureJob(t, c.fit, "cat.png,1", c.name+",2"))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	j := pictureJob(t, "", "cat.png,1")
	identity := func() string {
		im, err := Open(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		defer im.Close()
		id, err := im.Identity()
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	before := identity()
	grey, err := os.ReadFile(filepath.Join(j.Dir, "tiny.png"))
	if err == nil {
		err = os.WriteFile(filepath.Join(j.Dir, "cat.png"), grey, 0o600)
	}
	if err != nil || identity() == before {
		t.Errorf("another picture is the same run: %v", err)
	}
	left, err := filepath.Glob(filepath.Join(os.TempDir(), "quoin-pictures-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %q, %v", left, err)
	}
}
