package pdfobj

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"quoin/impose/witness"
)

// TestCorpus copies page 1 of the PDFs of witness.Corpus. What qpdf reads, we must read, and
// qpdf must have no complaint about the copy that it has not about the
// original. Run with -v for the table.
func TestCorpus(t *testing.T) {
	if testing.Short() {
		t.Skip("runs qpdf hundreds of times")
	}
	qpdf := witness.Need(t, "qpdf")
	copyPath := filepath.Join(t.TempDir(), "copy.pdf")
	count := map[string]int{}
	files := witness.Corpus(t, 24, 8)
	for _, path := range files {
		name := filepath.Base(path)
		theirs := qpdfSays(t, qpdf, path)
		notes, err := tryCopy(t, path, copyPath)
		ours := "copied"
		switch {
		case errors.Is(err, ErrPassword):
			ours = "needs a password"
		case errors.Is(err, ErrNotPermitted):
			ours = "not permitted"
		case err != nil:
			ours = "failed"
			t.Logf("%s: %v (qpdf: %s)", name, err, theirs)
			if theirs != "failed" && !errors.Is(err, ErrNoPage) {
				t.Errorf("%s: qpdf reads it", name)
			}
		case len(notes) > 0:
			ours = "mended and copied"
			t.Logf("%s: %q (qpdf: %s)", name, notes, theirs)
		}
		if err == nil {
			if after := qpdfSays(t, qpdf, copyPath); after != "clean" && theirs == "clean" {
				t.Errorf("%s: qpdf on the copy: %s", name, after)
			}
		}
		count[fmt.Sprintf("qpdf: %-8s ours: %s", theirs, ours)]++
	}
	t.Logf("%d files", len(files))
	for _, theirs := range []string{"clean", "warnings", "failed"} {
		for _, ours := range []string{"copied", "mended and copied", "needs a password", "not permitted", "failed"} {
			key := fmt.Sprintf("qpdf: %-8s ours: %s", theirs, ours)
			if n := count[key]; n > 0 {
				t.Logf("%5d %s", n, key)
			}
		}
	}
}

// qpdfSays returns how qpdf's check ended.
func qpdfSays(t *testing.T, qpdf, path string) string {
	t.Helper()
	err := exec.Command(qpdf, "--check", path).Run()
	var exit *exec.ExitError
	switch {
	case err == nil:
		return "clean"
	case errors.As(err, &exit) && exit.ExitCode() == 3:
		return "warnings"
	case errors.As(err, &exit):
		return "failed"
	}
	t.Fatal(err)
	return ""
}

func tryCopy(t *testing.T, in, out string) ([]string, error) {
	t.Helper()
	d, err := OpenFile(in, Limits{})
	if err != nil {
		return nil, err
	}
	defer d.Close()
	f, err := os.Create(out)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	err = copyPage(d, f, nil)
	return d.damage.Notes(), err
}
