package witness

import (
	"bytes"
	"context"
	"os/exec"
	"strings"
	"testing"
)

// Transicc has Little CMS turn device values (in percent) into CIELAB by a
// profile's absolute colorimetric table, without its own shortcuts. One line of
// values a colour; the answer has a line of L, a and b for each.
func Transicc(t testing.TB, profile string, colours []string) []string {
	t.Helper()
	return piped(t, colours, "transicc", "-t", "3", "-c", "0", "-n", "-i", profile, "-o", "*Lab4")
}

// Xicclu has Argyll look device values (0 to 1) up in a profile's absolute
// colorimetric table. One line of values a colour; the answer has a line of L,
// a and b for each.
func Xicclu(t testing.TB, profile string, colours []string) []string {
	t.Helper()
	return piped(t, colours, "xicclu", "-v0", "-ff", "-ia", "-pl", profile)
}

// Spec2cie has Argyll turn the spectra of a table into XYZ and CIELAB, for D50
// and 2 degrees.
func Spec2cie(t testing.TB, from, to string) {
	t.Helper()
	run(t, "spec2cie", "-n", from, to)
}

// Colverify has Argyll read two tables in the exchange form and compare their
// colours; the answer is its report.
func Colverify(t testing.TB, target, measured string) string {
	t.Helper()
	r := run(t, "colverify", target, measured)
	return string(r.stdout) + string(r.stderr)
}

// piped returns a tool lines, and takes as many back.
func piped(t testing.TB, in []string, tool string, args ...string) []string {
	t.Helper()
	path := Need(t, tool)
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	cmd := exec.CommandContext(ctx, path, args...)
	cmd.Stdin = strings.NewReader(strings.Join(in, "\n") + "\n")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s%s", told(tool, args), err, out, stderr.Bytes())
	}
	var lines []string
	for line := range strings.Lines(string(out)) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	if len(lines) != len(in) {
		t.Fatalf("%s: %d lines for %d:\n%s", told(tool, args), len(lines), len(in), out)
	}
	return lines
}
