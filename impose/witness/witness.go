// Package witness lets a test ask programs that share no code with quoin what
// a written PDF says and how it looks. Only tests may import it.
//
// A test names the tool it needs. On a developer's machine a missing tool
// skips the test; under CI (environment CI=true) it fails it, so that a run
// which proved nothing can't look green.
package witness

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
)

// patience is how long one run of a tool may take. The slowest honest run, a
// plate separation of a full frame on a busy machine, stays under 30 s.
const patience = 3 * time.Minute

// debian names the Debian package that carries each tool.
var debian = map[string]string{
	"bash":         "bash",
	"cbc":          "coinor-cbc",
	"chromium":     "chromium-headless-shell",
	"colverify":    "argyll",
	"dmtxread":     "dmtx-utils",
	"glpsol":       "glpk-utils",
	"ezdxf":        "python3-ezdxf",
	"fish":         "fish",
	"gs":           "ghostscript",
	"hb-shape":     "libharfbuzz-bin",
	"inkscape":     "inkscape",
	"mandoc":       "mandoc",
	"mutool":       "mupdf-tools",
	"node":         "npm",
	"npm":          "npm",
	"pdffonts":     "poppler-utils",
	"pdfimages":    "poppler-utils",
	"pdfinfo":      "poppler-utils",
	"pdftoppm":     "poppler-utils",
	"pdftotext":    "poppler-utils",
	"qpdf":         "qpdf",
	"rsvg-convert": "librsvg2-bin",
	"spec2cie":     "argyll",
	"transicc":     "liblcms2-utils",
	"xicclu":       "argyll",
	"ZXingReader":  "zxing-cpp-tools",
	"zbarimg":      "zbar-tools",
	"zint":         "zint",
	"zsh":          "zsh",
}

// lighter names what does a tool's work for less, and is taken first: the same
// browser without its windows costs half the processor time. The script of that name
// on Debian's path stays beside the browser that it starts, and whoever ended the
// script would leave that running.
var lighter = map[string]string{"chromium": "/usr/lib/chromium/chromium-headless-shell"}

// Need returns the path of an outside tool. A tool that is not installed
// skips the test, or fails it under CI; a tool that this package doesn't know
// always fails it.
func Need(t testing.TB, tool string) string {
	t.Helper()
	pkg, known := debian[tool]
	if !known {
		t.Fatalf("witness: %q is not in the table of tools; add it with its Debian package", tool)
	}
	for _, name := range []string{lighter[tool], tool} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	missing := fmt.Sprintf("the outside tool %s is missing: apt-get install %s", tool, pkg)
	if os.Getenv("CI") == "true" {
		t.Fatal(missing)
	}
	t.Skip(missing)
	return ""
}

// result is what a tool said. Everything it wrote to stderr is kept for the
// failure message and shown nowhere else.
type result struct {
	stdout []byte
	stderr []byte
	exit   int
}

// try runs a tool and returns its result whatever the exit code; only a tool
// that could not run at all, or did not end in time, fails the test.
func try(t testing.TB, tool string, args ...string) result {
	t.Helper()
	path := Need(t, tool)
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	var stdout, stderr bytes.Buffer
	cmd := exec.CommandContext(ctx, path, args...)
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	err := cmd.Run()
	if ctx.Err() != nil {
		t.Fatalf("%s did not end within %v", told(tool, args), patience)
	}
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatalf("%s: %v", told(tool, args), err)
	}
	return result{stdout.Bytes(), stderr.Bytes(), cmd.ProcessState.ExitCode()}
}

// run is try for a tool that must end with exit code 0.
func run(t testing.TB, tool string, args ...string) result {
	t.Helper()
	r := try(t, tool, args...)
	if r.exit != 0 {
		t.Fatalf("%s ended with exit code %d:\n%s%s", told(tool, args), r.exit, r.stdout, r.stderr)
	}
	return r
}

// told is the command as a reader can paste it.
func told(tool string, args []string) string {
	words := []string{tool}
	for _, a := range args {
		if strings.ContainsAny(a, " ()'") {
			a = "'" + a + "'"
		}
		words = append(words, a)
	}
	return strings.Join(words, " ")
}
