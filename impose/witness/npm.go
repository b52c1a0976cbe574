package witness

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// npmPackage fetches an npm package, as "axe-core@4.14.1", and gives the folder that
// it was unpacked into: for this test, and never kept. Where it can't be fetched the
// test is skipped, or fails under CI.
func npmPackage(t testing.TB, name string) string {
	t.Helper()
	Need(t, "npm")
	folder, err := unpack(t.TempDir(), name)
	if err == nil {
		return folder
	}
	if os.Getenv("CI") == "true" {
		t.Fatal(err)
	}
	t.Skip(err)
	return ""
}

// unpack fetches an npm package into a folder and gives where its files are.
func unpack(dir, name string) (string, error) {
	archive := ""
	for _, args := range [][]string{{"npm", "pack", "--silent", name}, {"tar", "xzf"}} {
		if archive != "" {
			args = append(args, archive)
		}
		cmd := exec.Command(args[0], args[1:]...)
		cmd.Dir = dir
		out, err := cmd.Output()
		if err != nil {
			return "", fmt.Errorf("%s: %w", strings.Join(args, " "), err)
		}
		archive = strings.TrimSpace(string(out))
	}
	return filepath.Join(dir, "package"), nil
}
