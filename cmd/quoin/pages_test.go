package main

import (
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestPagesNameWhatThereIs reads the pages of the help and the README: every
// page is a verb's, and every flag and file of the samples that they name is
// there.
func TestPagesNameWhatThereIs(t *testing.T) {
	flags := map[string][]string{}
	var all []string
	for _, v := range verbs() {
		for _, row := range v.table() {
			flags[v.name] = append(flags[v.name], row.name)
		}
		all = append(all, flags[v.name]...)
	}
	files, err := fs.Glob(pages, "pages/*.txt")
	if err != nil || len(files) < 4 {
		t.Fatalf("%d pages, %v", len(files), err)
	}
	flag, sample := regexp.MustCompile(`--[a-z][a-z-]*`), regexp.MustCompile(`samples/[a-z0-9./-]+[a-z0-9]`)
	for _, file := range append(files, "../../README.md") {
		text, err := pages.ReadFile(file)
		known := all
		if name, isPage := strings.CutPrefix(strings.TrimSuffix(file, ".txt"), "pages/"); isPage {
			if known = flags[name]; known == nil {
				t.Errorf("%s is the page of no verb", file)
			}
		} else {
			text, err = os.ReadFile(file)
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range flag.FindAllString(string(text), -1) {
			if !slices.Contains(known, strings.TrimPrefix(name, "--")) {
				t.Errorf("%s names %s, which is no flag there", file, name)
			}
		}
		for _, path := range sample.FindAllString(string(text), -1) {
			if _, err := os.Stat("../../" + path); err != nil {
				t.Errorf("%s names a sample that is not there: %v", file, err)
			}
		}
	}
}

// TestTheReadmesLinesArePrinted compares the lines that the README shows of
// the main job with what it prints.
func TestTheReadmesLinesArePrinted(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "It prints:\n\n```\n")
	shown, _, found := strings.Cut(rest, "```")
	if !found {
		t.Fatal("the README shows no output")
	}
	var out strings.Builder
	if code := run(t.Context(), streams{out: &out, err: &out}, []string{"impose", "../../samples/job.yaml", "-n"}); code != 0 {
		t.Fatalf("exit code %d: %s", code, out.String())
	}
	for _, line := range strings.Split(strings.TrimSpace(shown), "\n") {
		if line != "..." && !strings.Contains(out.String(), line) {
			t.Errorf("the README shows a line that is not printed:\n%s", line)
		}
	}
}
