package sheet

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// TestOutsidersReadTheSheet lets other programs open sheets with names of many
// scripts: whole files, embedded fonts, and text that can be searched for. With
// LOOK set to a folder it leaves the sheets there, to be looked at.
func TestOutsidersReadTheSheet(t *testing.T) {
	reader, lister := witness.Need(t, "pdftotext"), witness.Need(t, "pdfimages")
	dir := t.TempDir()
	if look := os.Getenv("LOOK"); look != "" {
		dir = look
	}
	for _, job := range []struct {
		name string
		c    *Content
	}{
		{"one", example(1, 4, []string{"Apple juice"})}, {"twelve", example(12, 12, worldly)}, {"many", example(24, 6, worldly[1:])},
	} {
		job.c.Pictures = pictures(len(job.c.Artworks))
		for _, paper := range []Paper{A4, Letter} {
			path := filepath.Join(dir, job.name+"-"+paper.Name+".pdf")
			f, err := os.Create(path)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := Write(f, job.c, paper); err != nil {
				t.Fatal(err)
			}
			if err := f.Close(); err != nil {
				t.Fatal(err)
			}
			witness.QPDFCheck(t, path)
			// pdfimages prints two lines of heads, and one for each image.
			listed, err := exec.Command(lister, "-list", path).Output()
			if err != nil {
				t.Fatal(err)
			}
			if n := strings.Count(string(listed), "\n") - 2; n != len(job.c.Pictures) {
				t.Errorf("%s shows %d pictures, want %d", path, n, len(job.c.Pictures))
			}
			witness.NoComplaint(t, path)
			read, err := exec.Command(reader, "-raw", path, "-").Output()
			if err != nil {
				t.Fatal(err)
			}
			for _, a := range job.c.Artworks {
				// Right to left is read as it is seen, so the order differs.
				if name := a.Product; !strings.ContainsAny(name, "عי") && !strings.Contains(string(read), first(name)) {
					t.Errorf("%s: %q can't be found", path, name)
				}
			}
			if n := strings.Count(string(read), "\f"); n != 2 {
				t.Errorf("%s has %d pages", path, n)
			}
		}
	}
}

// first gives the part of a name that is sure to stand on one line; letters
// that no face has are looked for by code.
func first(name string) string {
	if strings.HasPrefix(name, "น") {
		return "[U+0E19]"
	}
	return strings.Fields(name)[0]
}
