package nighttest

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Small writes an order file of eight orders on three materials, with one
// that can't be built, beside copies of the samples' artworks.
func Small(tb testing.TB, samples, dir string) (command []string) {
	tb.Helper()
	for _, name := range []string{"juice", "cider", "perry"} {
		data, err := os.ReadFile(filepath.Join(samples, "artwork", "orchard-"+name+".pdf"))
		if err != nil {
			tb.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".pdf"), data, 0o666); err != nil {
			tb.Fatal(err)
		}
	}
	var b strings.Builder
	b.WriteString("order,quantity,artwork,material\n")
	for i := range 8 {
		fmt.Fprintf(&b, "%d,%d,%s.pdf,%s\n", 100+i, 900+700*i, []string{"juice", "cider", "perry"}[i%3], []string{"film", "paper", "foil"}[i*i%3])
	}
	b.WriteString("lost,500,none.pdf,film\n")
	if err := os.WriteFile(filepath.Join(dir, "orders.csv"), []byte(b.String()), 0o666); err != nil {
		tb.Fatal(err)
	}
	return []string{"gang", "orders.csv", "--web", "340mm", "--target-lane", "8mm", "--frame-max", "320mm", "--gap", "2x3mm",
		"--bleed", "1mm", "--setup", "30m", "--time", "50ms", "--out"}
}

// Apart has a night's labels not compared for look-alikes, where something else is
// looked at.
func Apart(command []string) []string {
	return slices.Insert(slices.Clone(command), 1, "--no-look-alikes")
}

// Gang starts a night and gives its exit code and what it said.
func Gang(tb testing.TB, bin, dir string, args []string) (int, string) {
	tb.Helper()
	cmd := exec.Command(bin, args...)
	cmd.Dir = dir
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	err := cmd.Run()
	if _, exited := errors.AsType[*exec.ExitError](err); err != nil && !exited {
		tb.Fatal(err)
	}
	return cmd.ProcessState.ExitCode(), stderr.String()
}

// Contents reads a folder.
func Contents(tb testing.TB, dir string) map[string]string {
	tb.Helper()
	all := map[string]string{}
	entries, err := os.ReadDir(dir)
	if err != nil {
		tb.Fatal(err)
	}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			tb.Fatal(err)
		}
		all[e.Name()] = string(data)
	}
	return all
}

// SameContents wants a folder as an unbroken night left it.
func SameContents(tb testing.TB, got, want map[string]string) {
	tb.Helper()
	for name := range want {
		if got[name] != want[name] {
			tb.Errorf("%s differs from that of the unbroken night, or is missing", name)
		}
	}
	for name := range got {
		if _, ok := want[name]; !ok {
			tb.Errorf("%s is too many", name)
		}
	}
}
