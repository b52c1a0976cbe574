package browser

import (
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"quoin/impose/say"
)

// TestCommand: the address is one argument, as it stands, on every system.
func TestCommand(t *testing.T) {
	const page = "http://127.0.0.1:4300/?key=a%20b&x=1"
	for system, want := range map[string][]string{
		"linux":   {"xdg-open", page},
		"freebsd": {"xdg-open", page},
		"darwin":  {"open", page},
		"windows": {"rundll32", "url.dll,FileProtocolHandler", page},
	} {
		name, args, err := command(system, page)
		if got := append([]string{name}, args...); err != nil || !slices.Equal(got, want) {
			t.Errorf("%s: %q, %v", system, got, err)
		}
	}
	for _, bad := range []string{"", "-x", "file:///etc/passwd", "javascript:alert(1)", "http://", "calc.exe", "http://[::1"} {
		if name, _, err := command("linux", bad); err == nil || name != "" || say.Hint(err) == "" {
			t.Errorf("%q is opened by %q: %v", bad, name, err)
		}
	}
}

// TestOpen has an opener of our own found first.
func TestOpen(t *testing.T) {
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
		t.Skip("the opener is the system's own")
	}
	dir := t.TempDir()
	t.Setenv("PATH", dir+string(os.PathListSeparator)+os.Getenv("PATH"))
	opener := filepath.Join(dir, "xdg-open")
	for _, c := range []struct{ script, want string }{
		{"printf %s \"$1\" >" + dir + "/opened", ""},
		{"exit 3", "the browser can't be opened: xdg-open: exit status 3"},
	} {
		if err := os.WriteFile(opener, []byte("#!/bin/sh\n"+c.script+"\n"), 0o777); err != nil {
			t.Fatal(err)
		}
		const page = "http://127.0.0.1:1/?key=x&y=z"
		err := Open(t.Context(), page)
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.script, err)
		case c.want != "" && (err == nil || err.Error() != c.want || !strings.Contains(say.Hint(err), page)):
			t.Errorf("%s: %v, hint %q", c.script, err, say.Hint(err))
		}
		if got, err := os.ReadFile(filepath.Join(dir, "opened")); err != nil || string(got) != page {
			t.Errorf("opened %q, %v", got, err)
		}
	}
	t.Setenv("PATH", t.TempDir())
	if err := Open(t.Context(), "http://127.0.0.1:1/"); err == nil || !strings.Contains(say.Hint(err), "open http://127.0.0.1:1/ in one") {
		t.Errorf("without an opener: %v", err)
	}
}
