package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"quoin/impose"
	"quoin/impose/again"
	"quoin/impose/alike"
	"quoin/impose/artwork"
	"quoin/impose/desk/serve"
	"quoin/impose/fit"
	"quoin/impose/ink"
	"quoin/impose/mark"
	"quoin/impose/night"
	"quoin/impose/say"
	"quoin/impose/vary"
	"quoin/impose/verify"
)

// TestEveryCodeIsInTheManual looks for codes in the source that no list has.
func TestEveryCodeIsInTheManual(t *testing.T) {
	for _, c := range []struct {
		file, pattern string
		codes         say.Codes
	}{
		{"impose/artwork/finding.go", `(?m)^\t[A-Z]\w+ += "([a-z0-9-]+)"`, artwork.Codes},
		{"impose/verify/result.go", `(?m)^\t[A-Z]\w+ += "([a-z0-9-]+)"`, verify.Codes},
		{"impose/night/note.go", `(?m)^\t[A-Z]\w+ += "([a-z0-9-]+)"`, night.Codes},
		{"impose/mark/mark.go", `(?m)^\tCode\w+ += "([a-z0-9-]+)"`, mark.Codes},
		{"impose/ink/table.go", `(?m)^\tNote\w+ += "([a-z0-9-]+)"`, ink.Codes},
		{"geometry/codes.go", `(?m)^\tCode\w+ += "([a-z0-9-]+)"`, fit.Codes},
		{"impose/fit/*.go", `(?m)^const code\w+ += "([a-z0-9-]+)"`, fit.Codes},
		{"impose/codes.go", `(?m)^\tcode\w+ += "([a-z0-9-]+)"`, impose.Codes},
		{"impose/again/codes.go", `(?m)^\tCode\w+ += "([a-z0-9-]+)"`, again.Codes},
		{"impose/alike/*.go", `(?m)^\t(?:Code|NotCompared) += "([a-z0-9-]+)"`, alike.Codes},
		{"impose/vary/*.go", `(?m)^\tCode\w+ += "([a-z0-9-]+)"`, vary.Codes},
		{"impose/say/refusal.go", `(?m)^\t\w+ +Kind = "([a-z0-9-]+)"`, say.Kinds},
		{"impose/desk/serve/refuse.go", `(?m)^\t\w+ +say\.Kind = "([a-z0-9-]+)"`, serve.Codes},
	} {
		listed := map[string]bool{}
		for _, m := range c.codes.List {
			if listed[m.Code] {
				t.Errorf("%s: %q is listed twice", c.codes.Title, m.Code)
			}
			listed[m.Code] = true
		}
		files, err := filepath.Glob("../../" + c.file)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: got %v, %v", c.file, files, err)
		}
		found := 0
		for _, file := range files {
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			source, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range regexp.MustCompile(c.pattern).FindAllStringSubmatch(string(source), -1) {
				found++
				if !listed[m[1]] {
					t.Errorf("%s: the code %q has no meaning in the list of %s", file, m[1], c.codes.Title)
				}
			}
		}
		if found == 0 {
			t.Errorf("%s: no code is found by %s", c.file, c.pattern)
		}
	}
}

// TestCodesAreConstants finds codes that are written where they are used.
func TestCodesAreConstants(t *testing.T) {
	byHand := regexp.MustCompile(`(?:Reason\{\{?|Note\{\{?|\bCode: +|\bbad\(|\breason\(|\.warn\(|\.note\(|\.Add\()"[a-z]+(?:-[a-z]+)*"[,}]`)
	for _, pattern := range []string{"geometry/*.go", "impose/*.go", "impose/fit/*.go", "impose/mark/*.go", "impose/vary/*.go",
		"impose/again/*.go", "impose/alike/*.go", "impose/artwork/*.go", "impose/conform/*.go", "impose/verify/*.go", "impose/verify/labels/*.go", "impose/night/*.go", "impose/night/*/*.go", "impose/desk/*/*.go"} {
		files, err := filepath.Glob("../../" + pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: got %v, %v", pattern, files, err)
		}
		for _, file := range files {
			source, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if found := byHand.FindString(string(source)); found != "" && !strings.HasSuffix(file, "_test.go") {
				t.Errorf("%s: %s is no constant", file, found)
			}
		}
	}
}
