package witness

import (
	"os"
	"path/filepath"
	"sync"
	"testing"
)

// Axe returns the script of axe-core, an automated accessibility check, fetched
// as an npm package once for the tests of a package, and never kept.
func Axe(t testing.TB) string {
	t.Helper()
	Need(t, "npm")
	script, err := axe()
	if err != nil {
		t.Fatal(err)
	}
	return script
}

var axe = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "axe-*")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(dir)
	folder, err := unpack(dir, "axe-core@4.14.1")
	if err != nil {
		return "", err
	}
	script, err := os.ReadFile(filepath.Join(folder, "axe.min.js"))
	return string(script) + "\n;0", err
})

// AxeRun is the expression that has axe look at a page into which its script was
// put: a promise of what is wrong, each as one text. What is right isn't listed, and
// nothing is fetched for it once more.
const AxeRun = `axe.run({ resultTypes: ["violations"], preload: false }).then((r) => r.violations.map((v) => v.id + ": " + v.help + ": " + v.nodes.map((n) => n.target).join(" ")))`
