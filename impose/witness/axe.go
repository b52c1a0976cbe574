package witness

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Axe gives the script of axe-core, an automated accessibility check, fetched
// as an npm package and never kept.
func Axe(t testing.TB) string {
	t.Helper()
	npm := Need(t, "npm")
	dir := t.TempDir()
	for _, args := range [][]string{{npm, "pack", "--silent", "axe-core@4.14.1"}, {"tar", "xzf", "axe-core-4.14.1.tgz", "package/axe.min.js"}} {
		cmd := exec.Command(args[0], args[1:]...)
		cmd.Dir = dir
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", strings.Join(args, " "), err, out)
		}
	}
	script, err := os.ReadFile(filepath.Join(dir, "package", "axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	return string(script) + "\n;0"
}

// AxeRun is the expression that has axe look at a page into which its script was
// put: a promise of what is wrong, each as one text.
const AxeRun = `axe.run().then((r) => r.violations.map((v) => v.id + ": " + v.help + ": " + v.nodes.map((n) => n.target).join(" ")))`
