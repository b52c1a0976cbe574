package main

import (
	"strings"
	"testing"

	"quoin/impose/say"
)

// TestContradictions gives each rule of the table the flags that break it, and
// those that end the quarrel.
func TestContradictions(t *testing.T) {
	tried := 0
	for _, table := range flagRules {
		for _, v := range verbs() {
			fs, _ := v.flags()
			if table.verbs != nil && !contains(table.verbs, v.name) {
				continue
			}
			for _, r := range table.rules {
				known := true
				for _, flag := range append(append([]string{}, r.Given...), r.Without...) {
					name, _, _ := strings.Cut(strings.Split(flag, "|")[0], "=")
					known = known && fs.Lookup(name) != nil
				}
				switch {
				case !known && table.verbs != nil:
					t.Errorf("quoin %s lacks a flag of %q", v.name, r.Text)
				case known:
					tried++
					contradicts(t, v, r.Given, r.Text)
				}
			}
		}
	}
	if tried < 40 {
		t.Errorf("only %d rules were tried", tried)
	}
}

func contains(list []string, one string) bool {
	return strings.Contains(" "+strings.Join(list, " ")+" ", " "+one+" ")
}

// contradicts gives the flags, with values where they take any.
func contradicts(t *testing.T, v verb, given []string, text string) {
	t.Helper()
	var args []string
	for _, flag := range given {
		args = append(args, said(t, v, strings.Split(flag, "|")[0]))
	}
	fs, _ := v.flags()
	if err := fs.Parse(args); err != nil {
		t.Fatalf("quoin %s %s: %v", v.name, args, err)
	}
	if err := v.contradiction(fs); err == nil || say.Hint(err) == "" {
		t.Errorf("quoin %s %s: %v, want %q", v.name, args, err, text)
	}
	fs, _ = v.flags()
	if err := fs.Parse(nil); err != nil || v.contradiction(fs) != nil {
		t.Errorf("quoin %s without flags: %v, %v", v.name, err, v.contradiction(fs))
	}
}

// said writes a flag with a value that it takes.
func said(t *testing.T, v verb, flag string) string {
	t.Helper()
	fs, _ := v.flags()
	if strings.Contains(flag, "=") || fs.Lookup(flag).Value.Type() == "bool" {
		return "--" + flag
	}
	for _, value := range []string{"file.pdf", "2", "1mm", "all", "2%", "2026-03-01"} {
		if fs.Set(flag, value) == nil {
			return "--" + flag + "=" + value
		}
	}
	t.Fatalf("no value for --%s", flag)
	return ""
}
