package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// script writes a shell's completion to a file.
func script(t *testing.T, shell string) string {
	t.Helper()
	for _, s := range shells {
		if s.name != shell {
			continue
		}
		var b bytes.Buffer
		if err := s.write(&b, verbs()); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "completion."+shell)
		if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	t.Fatalf("no completion for %s", shell)
	return ""
}

func TestShellsReadTheirScripts(t *testing.T) {
	for shell, check := range map[string]string{"bash": "-n", "zsh": "-n", "fish": "--no-execute"} {
		t.Run(shell, func(t *testing.T) {
			path := witness.Need(t, shell)
			if out, err := exec.Command(path, check, script(t, shell)).CombinedOutput(); err != nil || len(out) > 0 {
				t.Errorf("%s %s: %v\n%s", shell, check, err, out)
			}
		})
	}
}

// TestBashCompletes has bash complete command lines, the last word of which is
// under way.
func TestBashCompletes(t *testing.T) {
	bash := witness.Need(t, "bash")
	file := script(t, "bash")
	for _, c := range []struct{ line, want string }{
		{"quoin imp", "impose"},
		{"quoin impose --pap", "--paper"},
		{"quoin impose --paper l", "letter"},
		{"quoin impose --paper = l", "letter"}, // as bash cuts --paper=l
		{"quoin impose a.pdf --turn ", "auto 0 90 180 270"},
		{"quoin gang --by m", "minutes money"},
		{"quoin impose --web 34", ""}, // a length, or a file
		{"quoin help ver", "verify"},
		{"quoin completion f", "fish"},
		{"quoin verify --quie", "--quiet"},
	} {
		words := strings.Split(c.line, " ")
		for i, w := range words {
			words[i] = fmt.Sprintf("%q", w)
		}
		out, err := exec.Command(bash, "-c", fmt.Sprintf(`. %q; COMP_WORDS=(%s); COMP_CWORD=%d; _quoin; echo "${COMPREPLY[*]}"`,
			file, strings.Join(words, " "), len(words)-1)).CombinedOutput()
		if got := strings.TrimSpace(string(out)); err != nil || got != c.want {
			t.Errorf("%q completes to %q (%v), want %q", c.line, got, err, c.want)
		}
	}
}

// TestTheTableIsWhole looks for every verb, and every flag of the help, in the
// scripts and in the manual.
func TestTheTableIsWhole(t *testing.T) {
	texts := map[string]string{}
	for _, s := range shells {
		var b bytes.Buffer
		if err := s.write(&b, verbs()); err != nil {
			t.Fatal(err)
		}
		texts[s.name] = b.String()
	}
	var b bytes.Buffer
	if err := writeMan(&b, verbs()); err != nil {
		t.Fatal(err)
	}
	texts["man"] = strings.ReplaceAll(b.String(), `\-`, "-")
	seen := map[string]bool{}
	for _, v := range verbs() {
		var help bytes.Buffer
		if err := v.help(&help); err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`(?m)^ +(?:-\w, )?--([a-z-]+)`).FindAllStringSubmatch(help.String(), -1) {
			seen[m[1]] = true
			for name, text := range texts {
				if !strings.Contains(text, "--"+m[1]) && !strings.Contains(text, "-l "+m[1]) {
					t.Errorf("%s doesn't know --%s of quoin %s", name, m[1], v.name)
				}
			}
		}
		for name, text := range texts {
			if !strings.Contains(text, v.name) {
				t.Errorf("%s doesn't know quoin %s", name, v.name)
			}
		}
	}
	if len(seen) < 40 {
		t.Errorf("only %d flags were found in the help", len(seen))
	}
}

// TestManualIsSound has mandoc read the page. It misses a date only: the page
// has none, so that the same program gives the same page.
func TestManualIsSound(t *testing.T) {
	mandoc := witness.Need(t, "mandoc")
	path := filepath.Join(t.TempDir(), "quoin.1")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := writeMan(f, verbs()); err != nil {
		t.Fatal(err)
	}
	f.Close()
	out, _ := exec.Command(mandoc, "-T", "lint", "-W", "warning", path).CombinedOutput()
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		if !strings.Contains(line, "missing date") {
			t.Errorf("mandoc: %s", line)
		}
	}
	page, err := exec.Command(mandoc, "-T", "ascii", path).Output()
	if err != nil {
		t.Fatal(err)
	}
	plain := regexp.MustCompile(".\b").ReplaceAllString(string(page), "")
	for _, want := range []string{"quoin impose ART.pdf|JOB.yaml [FLAGS] -o OUT.pdf", "--paper size", "130", "NO_COLOR", "-q"} {
		if !strings.Contains(plain, want) {
			t.Errorf("the page doesn't say %q", want)
		}
	}
}

// TestExitCodesOfTheReadme compares the README's table with the program's.
func TestExitCodesOfTheReadme(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range exitCodes {
		row := fmt.Sprintf("| %d | %s |", e.code, e.means)
		if !strings.Contains(strings.ReplaceAll(string(readme), "`", ""), row) {
			t.Errorf("the README lacks %q", row)
		}
	}
}
