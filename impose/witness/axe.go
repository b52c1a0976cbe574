package witness

import (
	"os"
	"path/filepath"
	"testing"
)

// Axe gives the script of axe-core, an automated accessibility check, fetched
// as an npm package and never kept.
func Axe(t testing.TB) string {
	t.Helper()
	script, err := os.ReadFile(filepath.Join(npmPackage(t, "axe-core@4.14.1"), "axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	return string(script) + "\n;0"
}

// AxeRun is the expression that has axe look at a page into which its script was
// put: a promise of what is wrong, each as one text.
const AxeRun = `axe.run().then((r) => r.violations.map((v) => v.id + ": " + v.help + ": " + v.nodes.map((n) => n.target).join(" ")))`
