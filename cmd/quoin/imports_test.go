package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// allowed holds which of our packages each package may import: the house's one
// direction. A package that is not listed may import none. Every package of
// impose may import impose/say, which holds nothing but words and numbers, and
// is therefore not named.
var allowed = map[string][]string{
	"quoin/geometry":                {},
	"quoin/geometry/outline":        {"quoin/geometry"},
	"quoin/geometry/outline/nest":   {"quoin/geometry", "quoin/geometry/outline"},
	"quoin/geometry/apart":          {},
	"quoin/geometry/trials":         {},                        // for tests
	"quoin/geometry/trials/draws":   {"quoin/geometry/trials"}, // for tests
	"quoin/geometry/gang":           {"quoin/geometry"},
	"quoin/geometry/choose":         {"quoin/geometry/gang"},
	"quoin/geometry/schedule":       {},
	"quoin/geometry/sorting":        {},
	"quoin/impose/job":              {"quoin/geometry"},
	"quoin/impose/say":              {"quoin/geometry"},
	"quoin/impose/ink":              {},
	"quoin/impose/pdfobj":           {"quoin/impose/pdfobj/filter"},
	"quoin/impose/pdfobj/filter":    {},
	"quoin/impose/artwork":          {"quoin/geometry", "quoin/geometry/outline", "quoin/impose/contour", "quoin/impose/ink", "quoin/impose/pdfobj", "quoin/impose/pdfobj/filter", "quoin/impose/artwork/function"},
	"quoin/impose/artwork/function": {"quoin/impose/pdfobj"},
	"quoin/impose/again":            {"quoin/impose/artwork", "quoin/impose/plate", "quoin/impose/raster", "quoin/impose/summary"},
	"quoin/impose/batch":            {"quoin/impose/summary"},
	"quoin/impose/browser":          {},
	"quoin/impose/checkdigit":       {},
	"quoin/impose/data":             {"quoin/impose/checkdigit"},
	"quoin/impose/barcode":          {"quoin/geometry", "quoin/impose/draw", "quoin/impose/draw/lettering", "quoin/impose/checkdigit", "quoin/impose/gs1"},
	"quoin/impose/gs1":              {"quoin/impose/checkdigit"},
	"quoin/impose/draw":             {"quoin/geometry", "quoin/impose/ink"},
	"quoin/impose/photo":            {"quoin/geometry", "quoin/impose/pdfobj", "quoin/impose/wholefile"},
	"quoin/impose/draw/lettering":   {"quoin/geometry", "quoin/impose/draw"},
	"quoin/impose/draw/typeface":    {"quoin/geometry", "quoin/impose/draw"},
	"quoin/impose/mark":             {"quoin/geometry", "quoin/impose/ink", "quoin/impose/draw", "quoin/impose/draw/lettering"},
	"quoin/impose/colour/cielab":    {},
	"quoin/impose/colour/cgats":     {"quoin/impose/colour/cielab"},
	"quoin/impose/colour": {"quoin/impose/job", "quoin/impose/colour/cgats", "quoin/impose/colour/cielab", "quoin/impose/colour/cxf",
		"quoin/impose/colour/profile"},
	"quoin/impose/colour/cxf": {"quoin/impose/colour/cielab"},
	"quoin/impose/colour/condition": {"quoin/impose/artwork", "quoin/impose/pdfobj", "quoin/impose/colour", "quoin/impose/colour/cielab", "quoin/impose/colour/cxf",
		"quoin/impose/colour/profile"},
	"quoin/impose/colour/report":   {"quoin/impose/colour", "quoin/impose/colour/cielab", "quoin/impose/sheet/typeset"},
	"quoin/impose/colour/profile":  {"quoin/impose/colour/cielab"},
	"quoin/impose/preview":         {"quoin/geometry", "quoin/impose/ink", "quoin/impose/draw", "quoin/impose/draw/lettering"},
	"quoin/impose/press":           {"quoin/geometry", "quoin/impose/ink", "quoin/impose/draw", "quoin/impose/artwork", "quoin/impose/pdfobj"},
	"quoin/impose/proof":           {"quoin/geometry", "quoin/impose", "quoin/impose/artwork", "quoin/impose/ink", "quoin/impose/pdfobj", "quoin/impose/plate", "quoin/impose/summary", "quoin/impose/draw", "quoin/impose/preview", "quoin/impose/raster"},
	"quoin/impose/raster":          {"quoin/impose/pdfobj", "quoin/impose/thrift", "quoin/impose/wholefile"},
	"quoin/impose/miniature":       {"quoin/impose", "quoin/impose/raster"},
	"quoin/impose/sheet":           {"quoin/geometry", "quoin/impose", "quoin/impose/summary", "quoin/impose/contour", "quoin/impose/job", "quoin/impose/sheet/typeset"},
	"quoin/impose/sheet/typeset":   {"quoin/impose/draw/typeface"},
	"quoin/impose/contour":         {"quoin/geometry", "quoin/geometry/outline", "quoin/impose/draw"},
	"quoin/impose/fit":             {"quoin/geometry", "quoin/geometry/outline", "quoin/geometry/outline/nest", "quoin/impose/job"},
	"quoin/impose/conform":         {"quoin/impose/ink", "quoin/impose/pdfobj", "quoin/impose/artwork", "quoin/impose/artwork/function"},
	"quoin/impose/verify":          {"quoin/geometry/apart", "quoin/impose/pdfobj", "quoin/impose/summary/schema"}, // none of the writer's code
	"quoin/impose/vary":            {"quoin/geometry", "quoin/impose/draw", "quoin/impose/draw/lettering", "quoin/impose/draw/typeface", "quoin/impose/barcode", "quoin/impose/data", "quoin/impose/gs1", "quoin/impose/press", "quoin/impose/register", "quoin/impose/wholefile"},
	"quoin/impose/register":        {"quoin/impose/wholefile"},
	"quoin/impose/thrift":          {},
	"quoin/impose/verify/labels":   {"quoin/impose/raster", "quoin/impose/register", "quoin/impose/thrift", "quoin/impose/verify/glimpse", "quoin/impose/wholefile"}, // none of the writer's code
	"quoin/impose/verify/glimpse":  {"quoin/impose/pdfobj"},
	"quoin/impose/prove":           {"quoin/impose/conform", "quoin/impose/summary", "quoin/impose/verify", "quoin/impose/verify/labels"},
	"quoin/impose/prove/pixels":    {"quoin/impose/artwork", "quoin/impose/ink", "quoin/impose/pdfobj", "quoin/impose/plate", "quoin/impose/raster", "quoin/impose/verify"},
	"quoin/impose/summary":         {"quoin/geometry", "quoin/impose/summary/schema"},
	"quoin/impose/summary/schema":  {},
	"quoin/impose/ticket":          {"quoin/geometry", "quoin/impose/job", "quoin/impose/summary"},
	"quoin/impose/witness":         {"quoin/geometry/trials"}, // for tests
	"quoin/impose/witness/schemas": {},                        // for tests
	"quoin/impose/wholefile":       {},
	"quoin/impose/night/folder":    {"quoin/impose/wholefile"},
	"quoin/impose/night":           {"quoin/geometry", "quoin/geometry/gang", "quoin/geometry/outline", "quoin/impose", "quoin/impose/artwork", "quoin/impose/job", "quoin/impose/sheet", "quoin/impose/summary", "quoin/impose/wholefile"},
	"quoin/impose/night/intake":    {"quoin/geometry", "quoin/geometry/outline", "quoin/impose", "quoin/impose/job", "quoin/impose/night"},
	"quoin/impose/night/plan":      {"quoin/geometry", "quoin/geometry/choose", "quoin/geometry/gang", "quoin/geometry/schedule", "quoin/geometry/sorting", "quoin/impose/job", "quoin/impose/night", "quoin/impose/night/folder", "quoin/impose/night/intake", "quoin/impose/summary", "quoin/impose/thrift"},
	"quoin/impose/night/report":    {"quoin/impose/job", "quoin/impose/night", "quoin/impose/night/folder", "quoin/impose/night/plan"},
	"quoin/impose/night/build": {"quoin/geometry", "quoin/impose", "quoin/impose/alike", "quoin/impose/artwork", "quoin/impose/job", "quoin/impose/miniature", "quoin/impose/night", "quoin/impose/night/folder", "quoin/impose/night/plan", "quoin/impose/night/report", "quoin/impose/plate", "quoin/impose/prove", "quoin/impose/prove/pixels",
		"quoin/impose/sheet", "quoin/impose/summary", "quoin/impose/verify", "quoin/impose/wholefile"},
	"quoin/impose/queue":        {"quoin/impose/queue/broker", "quoin/impose/queue/task"},
	"quoin/impose/queue/task":   {},
	"quoin/impose/queue/broker": {"quoin/impose/queue/task", "quoin/impose/wholefile"},
	"quoin/impose/queue/blob":   {"quoin/impose/queue", "quoin/impose/queue/task", "quoin/impose/wholefile"},
	"quoin/impose/queue/work":   {"quoin/impose/queue", "quoin/impose/queue/blob", "quoin/impose/queue/task"},
	"quoin/impose/queue/hand":   {"quoin/impose/queue", "quoin/impose/queue/blob", "quoin/impose/queue/task", "quoin/impose/wholefile"},
	"quoin/impose/queue/status": {"quoin/impose/queue", "quoin/impose/queue/task", "quoin/impose/queue/work"},
	"quoin/impose/queue/spread": {"quoin/geometry/gang", "quoin/impose", "quoin/impose/artwork", "quoin/impose/job", "quoin/impose/night/build", "quoin/impose/queue/hand", "quoin/impose/queue/task",
		"quoin/impose/queue/work", "quoin/impose/raster", "quoin/impose/sheet", "quoin/impose/vary", "quoin/impose/wholefile"},
	"quoin/impose/queue/watch":     {"quoin/impose/job", "quoin/impose/wholefile"},
	"quoin/impose/night/nighttest": {"quoin/geometry", "quoin/impose/job", "quoin/impose/night", "quoin/impose/night/folder", "quoin/impose/sheet"}, // for tests
	"quoin/impose/plate":           {"quoin/geometry", "quoin/geometry/outline", "quoin/impose/ink", "quoin/impose/pdfobj", "quoin/impose/artwork", "quoin/impose/artwork/function", "quoin/impose/raster", "quoin/impose/thrift"},
	"quoin/impose/alike":           {"quoin/geometry", "quoin/impose", "quoin/impose/job", "quoin/impose/artwork", "quoin/impose/plate", "quoin/impose/raster"},
	"quoin/impose/fit/ask":         {"quoin/geometry", "quoin/geometry/outline", "quoin/impose", "quoin/impose/fit", "quoin/impose/job", "quoin/impose/summary"},
	"quoin/impose/desk/edit":       {},
	"quoin/impose/desk/folder":     {"quoin/impose/job", "quoin/impose/wholefile"},
	"quoin/impose/desk/plan": {"quoin/impose/data", "quoin/geometry", "quoin/impose", "quoin/impose/alike", "quoin/impose/artwork", "quoin/impose/draw", "quoin/impose/ink", "quoin/impose/job", "quoin/impose/preview", "quoin/impose/summary", "quoin/impose/fit", "quoin/impose/fit/ask",
		"quoin/impose/desk/edit", "quoin/impose/desk/folder"},
	"quoin/impose/desk/safe":   {},
	"quoin/impose/desk/serve":  {"quoin/impose/alike", "quoin/impose/summary", "quoin/impose/night", "quoin/geometry", "quoin/impose/job", "quoin/impose/night/plan", "quoin/impose/desk/edit", "quoin/impose/desk/folder", "quoin/impose/desk/plan", "quoin/impose/desk/worker", "quoin/impose/wholefile"},
	"quoin/impose/desk/worker": {"quoin/impose", "quoin/impose/alike", "quoin/impose/job", "quoin/impose/again", "quoin/impose/summary", "quoin/geometry", "quoin/impose/artwork", "quoin/impose/ink", "quoin/impose/pdfobj", "quoin/impose/plate", "quoin/impose/raster"},
	"quoin/impose": {"quoin/geometry", "quoin/impose/job", "quoin/impose/ink", "quoin/impose/artwork",
		"quoin/impose/pdfobj", "quoin/impose/photo", "quoin/impose/draw", "quoin/impose/draw/typeface", "quoin/impose/mark", "quoin/impose/press", "quoin/impose/conform", "quoin/impose/checkdigit", "quoin/impose/data", "quoin/impose/barcode", "quoin/impose/gs1", "quoin/impose/vary", "quoin/impose/contour", "quoin/impose/summary", "quoin/impose/wholefile", "quoin/geometry/outline", "quoin/geometry/outline/nest"},
}

// TestImportsPointOneWay keeps the packages' directions; cmd may import all.
// Imports of test files are free.
func TestImportsPointOneWay(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}}:{{join .Imports ","}}`, "quoin/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	seen := 0
	for _, line := range strings.Fields(string(out)) {
		pkg, imports, _ := strings.Cut(line, ":")
		if strings.HasPrefix(pkg, "quoin/cmd/") {
			continue
		}
		may, listed := allowed[pkg]
		if !listed {
			t.Errorf("%s is not in the table of packages: add it, with what it may import", pkg)
		}
		seen++
		for _, in := range strings.Split(imports, ",") {
			if in == "quoin/impose/say" && strings.HasPrefix(pkg, "quoin/impose") {
				continue
			}
			if strings.HasPrefix(in, "quoin/") && !slices.Contains(may, in) {
				t.Errorf("%s imports %s, which points the wrong way", pkg, in)
			}
		}
	}
	if seen < len(allowed)/2 {
		t.Fatalf("only %d packages were seen; the test is looking at the wrong place", seen)
	}
}
