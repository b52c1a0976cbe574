package folder

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/say"
)

// provisionally makes a folder of a report that is not final.
func provisionally(t *testing.T) (place string) {
	t.Helper()
	place = filepath.Join(t.TempDir(), "night")
	f := open(t, place, "a")
	write(t, f, "report", "nothing")
	write(t, f, ".draft", "x")
	if err := f.CommitProvisional(); err != nil {
		t.Fatal(err)
	}
	f.Close()
	return place
}

func TestProvisionalFolderGivesWay(t *testing.T) {
	for _, key := range []string{"a", "b"} {
		place := provisionally(t)
		if got := files(t, place); len(got) != 2 || got["report"] != "nothing" {
			t.Fatalf("%q", got)
		}
		f := open(t, place, key)
		if f.Done() || f.Restarted() || f.Kept() > 0 {
			t.Errorf("done %v, restarted %v, %d kept", f.Done(), f.Restarted(), f.Kept())
		}
		write(t, f, "run", "1")
		if got := files(t, place); got["report"] != "nothing" {
			t.Errorf("it went before the new one was there: %q", got)
		}
		if err := f.Commit(); err != nil {
			t.Fatal(err)
		}
		if got := files(t, place); len(got) != 2 || got["run"] != "1" {
			t.Errorf("%q", got)
		}
		f.Close()
		if !open(t, place, key).Done() {
			t.Error("the new one is not final")
		}
	}
}

// TestProvisionalFolderOfAPersonStays: what was put there or written over since
// is not thrown away, neither at the start nor at the end.
func TestProvisionalFolderOfAPersonStays(t *testing.T) {
	for name, content := range map[string]string{"mine": "1", "report": "with my notes"} {
		place := provisionally(t)
		late := open(t, place, "b")
		write(t, late, "run", "1")
		if err := os.WriteFile(filepath.Join(place, name), []byte(content), 0o666); err != nil {
			t.Fatal(err)
		}
		if _, err := Open(place, "b"); say.KindOf(err) != say.Taken || !strings.Contains(err.Error(), name+" was added or changed") {
			t.Errorf("%s: %v", name, err)
		}
		if err := late.Commit(); say.KindOf(err) != say.Taken {
			t.Errorf("%s: %v", name, err)
		}
		if got := files(t, place)[name]; got != content {
			t.Errorf("%s is gone", name)
		}
	}
}

// TestKillWhileGivingWay: a folder some files of which are gone still gives way.
func TestKillWhileGivingWay(t *testing.T) {
	place := provisionally(t)
	os.Remove(filepath.Join(place, "report"))
	f := open(t, place, "b")
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
}
