package folder

import (
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/say"
)

// text gives what fills a file.
func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

func open(t *testing.T, place, key string) *Folder {
	t.Helper()
	f, err := Open(place, key)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func write(t *testing.T, f *Folder, name, content string) {
	t.Helper()
	if _, err := f.Write(name, text(content)); err != nil {
		t.Fatal(err)
	}
}

// files lists a folder with its contents.
func files(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[e.Name()] = string(b)
	}
	return all
}

func TestFolderAppearsWholeWithItsSums(t *testing.T) {
	place := filepath.Join(t.TempDir(), "night")
	f := open(t, place, "k1")
	write(t, f, ".plan", "for the making only")
	write(t, f, "b.txt", "two")
	write(t, f, "a.txt", "one")
	if _, err := os.Stat(place); !errors.Is(err, os.ErrNotExist) {
		t.Fatalf("the folder is there before it is finished: %v", err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	got := files(t, place)
	// printf one | sha256sum, printf two | sha256sum
	want := "# k1\n" +
		"7692c3ad3540bb803c020b3aee66cd8887123234ea0c6e7143c0add73ff431ed  a.txt\n" +
		"3fc4ccfe745870e2c0d99f71f30ff0656c8dedd41cc1d7d3d376b0dbe685e2f3  b.txt\n"
	if len(got) != 3 || got[Sums] != want || got["a.txt"] != "one" {
		t.Errorf("the folder holds %q", got)
	}
	if sha, err := exec.LookPath("sha256sum"); err == nil {
		cmd := exec.Command(sha, "-c", Sums)
		cmd.Dir = place
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Errorf("sha256sum -c: %v\n%s", err, out)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(place), ".*")); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}
}

func TestSecondStartKeepsWhatIsFinishedAndTrue(t *testing.T) {
	place := filepath.Join(t.TempDir(), "night")
	f := open(t, place, "k")
	for _, name := range []string{"kept", "changed", "gone"} {
		write(t, f, name, name)
	}
	broken := errors.New("broken off")
	if _, err := f.Write("half", func(w io.Writer) error { io.WriteString(w, "half"); return broken }); err != broken {
		t.Fatalf("the error of the filling comes back as %v", err)
	}
	f.Close()
	work := f.work
	os.WriteFile(filepath.Join(work, "changed"), []byte("otherwise"), 0o666)
	os.Remove(filepath.Join(work, "gone"))
	os.WriteFile(filepath.Join(work, ".tmp-rest"), []byte("rest"), 0o666)
	log, err := os.OpenFile(filepath.Join(work, journal), os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	log.WriteString("7692c3ad3540bb803c02") // a line cut off by a kill
	log.Close()

	g := open(t, place, "k")
	if g.Kept() != 1 || g.Sum("kept") == "" || g.Sum("changed") != "" || g.Sum("gone") != "" || g.Restarted() {
		t.Errorf("kept %d: %v", g.Kept(), g.sums)
	}
	if got := files(t, work); len(got) != 2 || got["kept"] != "kept" {
		t.Errorf("the work folder holds %q", got)
	}
	write(t, g, "changed", "changed")
	if err := g.Commit(); err != nil {
		t.Fatal(err)
	}
	if got := files(t, place); got["changed"] != "changed" || got["kept"] != "kept" || len(got) != 3 {
		t.Errorf("the folder holds %q", got)
	}
}

func TestOtherInputsBeginAnew(t *testing.T) {
	place := filepath.Join(t.TempDir(), "night")
	f := open(t, place, "yesterday")
	write(t, f, "run", "yesterday's")
	f.Close()
	g := open(t, place, "today")
	if !g.Restarted() || g.Kept() != 0 || len(files(t, g.work)) != 1 {
		t.Errorf("restarted %v, kept %d, %q", g.Restarted(), g.Kept(), files(t, g.work))
	}
}

func TestFinishedFolderIsLeftAlone(t *testing.T) {
	place := filepath.Join(t.TempDir(), "night")
	f := open(t, place, "k")
	write(t, f, "run", "one")
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	f.Close()
	if g := open(t, place, "k"); !g.Done() || g.Sum("run") == "" {
		t.Error("the finished folder is not known again")
	}
	wantTaken := func(key, part string) {
		t.Helper()
		_, err := Open(place, key)
		if say.KindOf(err) != say.Taken || !strings.Contains(err.Error(), part) || say.Hint(err) == "" {
			t.Errorf("%v, want %q", err, part)
		}
	}
	wantTaken("another", "other inputs")
	os.WriteFile(filepath.Join(place, "run"), []byte("two"), 0o666)
	wantTaken("k", "run is missing or was changed")
	os.Remove(filepath.Join(place, Sums))
	wantTaken("k", "holds other files")
	place = filepath.Join(place, "run")
	wantTaken("k", "is a file")
}

func TestEmptyFolderIsTaken(t *testing.T) {
	place := t.TempDir()
	f := open(t, place, "k")
	write(t, f, "run", "one")
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	if got := files(t, place); got["run"] != "one" {
		t.Errorf("%q", got)
	}
}

func TestTwoStartsDontCollide(t *testing.T) {
	place := filepath.Join(t.TempDir(), "night")
	f := open(t, place, "k")
	if _, err := Open(place, "k"); !errors.Is(err, ErrBusy) {
		t.Errorf("the second start gives %v", err)
	}
	f.Close()
	open(t, place, "k")
}

func TestRefusedFilesAreNeverThere(t *testing.T) {
	place := filepath.Join(t.TempDir(), "night")
	f := open(t, place, "k")
	wrong := errors.New("wrong")
	check := func(path string) error {
		if b, err := os.ReadFile(path); err != nil || string(b) != "right" {
			return errors.Join(wrong, err)
		}
		return nil
	}
	if _, err := f.Write("a", text("left"), check); !errors.Is(err, wrong) || f.Sum("a") != "" {
		t.Errorf("a refused file gives %v, sum %q", err, f.Sum("a"))
	}
	if _, err := f.Write("b", text("right"), check); err != nil {
		t.Error(err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	if got := files(t, place); len(got) != 2 || got["b"] != "right" {
		t.Errorf("the folder holds %q", got)
	}
}

// TestFullDisk fills a small file system, says so, and goes on once there is
// room again.
func TestFullDisk(t *testing.T) {
	root := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", root).CombinedOutput(); err != nil {
		t.Skipf("no small file system can be mounted: %s", out)
	}
	defer exec.Command("umount", "-l", root).Run()
	place := filepath.Join(root, "night")
	ballast := filepath.Join(root, "ballast")
	if err := os.WriteFile(ballast, make([]byte, 32<<10), 0o666); err != nil {
		t.Fatal(err)
	}
	f := open(t, place, "k")
	write(t, f, "first", "first")
	_, err := f.Write("large", text(strings.Repeat("x", 40<<10)))
	if say.KindOf(err) != say.Disk || !strings.Contains(err.Error(), "no space left") || say.Hint(err) == "" {
		t.Fatalf("a full disk gives %v", err)
	}
	f.Close()
	os.Remove(ballast)
	g := open(t, place, "k")
	if g.Kept() != 1 {
		t.Errorf("%d files kept", g.Kept())
	}
	write(t, g, "large", strings.Repeat("x", 40<<10))
	if err := g.Commit(); err != nil {
		t.Fatal(err)
	}
	if got := files(t, place); got["first"] != "first" || len(got["large"]) != 40<<10 {
		t.Errorf("the folder holds %d files", len(got))
	}
}

// TestAnyMangledJournalIsSurvived: whatever a power cut leaves of the journal,
// the next start neither fails nor trusts a file that is not true.
func TestAnyMangledJournalIsSurvived(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	dir := t.TempDir()
	rounds := 60
	if testing.Short() {
		rounds = 8
	}
	for round := range rounds {
		place := filepath.Join(dir, fmt.Sprint(round))
		f := open(t, place, "k")
		for i := range 5 {
			write(t, f, fmt.Sprint("f", i), strings.Repeat("x", i))
		}
		f.Close()
		path := filepath.Join(f.work, journal)
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		text = text[:rng.IntN(len(text)+1)]
		if len(text) > 0 && round%2 == 0 {
			text[rng.IntN(len(text))] ^= byte(1 + rng.IntN(255))
		}
		os.WriteFile(path, text, 0o666)
		g := open(t, place, "k")
		for i := range 5 {
			name := fmt.Sprint("f", i)
			if g.Sum(name) == "" {
				write(t, g, name, strings.Repeat("x", i))
			}
		}
		if err := g.Commit(); err != nil {
			t.Fatal(err)
		}
		got := files(t, place)
		for i := range 5 {
			if got[fmt.Sprint("f", i)] != strings.Repeat("x", i) {
				t.Fatalf("round %d: %q", round, got)
			}
		}
		if len(got) != 6 {
			t.Fatalf("round %d holds %q", round, got)
		}
	}
}

// TestRemovedFileIsMadeAgain: what was found to be wrong is no part of the folder,
// nor of what a second start keeps.
func TestRemovedFileIsMadeAgain(t *testing.T) {
	place := filepath.Join(t.TempDir(), "night")
	f := open(t, place, "k1")
	write(t, f, "a.pdf", "right")
	write(t, f, "b.pdf", "wrong")
	for _, name := range []string{"b.pdf", "never-written.pdf"} {
		if err := f.Remove(name); err != nil {
			t.Fatal(err)
		}
	}
	if f.Sum("b.pdf") != "" {
		t.Error("its sum is still known")
	}
	f.Close()
	f = open(t, place, "k1")
	if f.Kept() != 1 || f.Sum("b.pdf") != "" {
		t.Errorf("%d files are kept", f.Kept())
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	if all := files(t, place); len(all) != 2 || strings.Contains(all[Sums], "b.pdf") {
		t.Errorf("the folder holds %v", all)
	}
}
