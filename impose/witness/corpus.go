package witness

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry/trials"
)

// Corpus lists PDFs of many makers: those that the modules we build with carry
// as test data, every few-th of them, and every many-th in the long pass. Where
// the environment variable QUOIN_CORPUS names folders, a list like PATH, it is all
// of them and all in those.
func Corpus(t testing.TB, few, many int) (files []string) {
	t.Helper()
	roots := filepath.SplitList(os.Getenv("QUOIN_CORPUS"))
	every := trials.Number(t, "", few, many)
	if len(roots) > 0 {
		every = 1
	}
	for _, module := range []string{"github.com/pdfcpu/pdfcpu", "github.com/signintech/gopdf"} {
		dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", module).Output()
		if err != nil {
			t.Fatal(err)
		}
		roots = append(roots, strings.TrimSpace(string(dir)))
	}
	seen := 0
	for _, root := range roots {
		err := filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
			if err == nil && e.Type().IsRegular() && strings.EqualFold(filepath.Ext(path), ".pdf") {
				if seen%every == 0 {
					files = append(files, path)
				}
				seen++
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if seen < 400 {
		t.Fatalf("only %d files", seen)
	}
	return files
}
