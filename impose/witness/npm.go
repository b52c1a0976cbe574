package witness

import (
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
	npm, dir := Need(t, "npm"), t.TempDir()
	command := func(name string, args ...string) string {
		cmd := exec.Command(name, args...)
		cmd.Dir = dir
		out, err := cmd.Output()
		if err == nil {
			return strings.TrimSpace(string(out))
		}
		text := strings.Join(append([]string{name}, args...), " ") + ": " + err.Error()
		if os.Getenv("CI") == "true" {
			t.Fatal(text)
		}
		t.Skip(text)
		return ""
	}
	archive := command(npm, "pack", "--silent", name)
	command("tar", "xzf", archive)
	return filepath.Join(dir, "package")
}
