package wholefile

import (
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/say"
)

// TestOnlyFilesAreReplaced: what is no regular file stays what it is.
func TestOnlyFilesAreReplaced(t *testing.T) {
	dir := t.TempDir()
	fifo, socket, linked := filepath.Join(dir, "fifo"), filepath.Join(dir, "socket"), filepath.Join(dir, "linked")
	if out, err := exec.Command("mkfifo", fifo).CombinedOutput(); err != nil {
		t.Skipf("mkfifo: %v, %s", err, out)
	}
	l, err := net.Listen("unix", socket)
	if err != nil {
		t.Skip(err)
	}
	defer l.Close()
	ring := filepath.Join(dir, "ring")
	for at, to := range map[string]string{linked: fifo, ring: ring} {
		if err := os.Symlink(to, at); err != nil {
			t.Fatal(err)
		}
	}
	for path, want := range map[string]string{
		fifo: "a pipe", socket: "a socket", linked: "a pipe", os.DevNull: "a device", ring: "too many levels", dir: "a folder",
	} {
		before, _ := os.Lstat(path)
		_, err := Write(path, Options{}, func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err })
		if say.KindOf(err) != say.Usage || !strings.Contains(err.Error(), want) || say.Hint(err) == "" {
			t.Errorf("%s: got %v, want a refusal with %q", path, err, want)
		}
		if after, err := os.Lstat(path); err != nil || before.Mode() != after.Mode() || !os.SameFile(before, after) {
			t.Errorf("%s was replaced", path)
		}
	}
}

// TestFoldersAreThereBeforeAnythingIsRead: an output whose folder isn't there is
// refused at the start, and a link that leads nowhere is called one.
func TestFoldersAreThereBeforeAnythingIsRead(t *testing.T) {
	dir := t.TempDir()
	link, folder, fine := filepath.Join(dir, "link.pdf"), filepath.Join(dir, "folder"), filepath.Join(dir, "fine.pdf")
	for at, to := range map[string]string{link: "gone/out.pdf", folder: "gone", fine: "new.pdf"} {
		if err := os.Symlink(to, at); err != nil {
			t.Skip(err)
		}
	}
	for path, want := range map[string]string{
		filepath.Join(dir, "gone", "out.pdf"): "can't write beside ",
		link:                                  "link.pdf is a symbolic link to gone/out.pdf, which isn't there",
		filepath.Join(folder, "out.pdf"):      "folder is a symbolic link to gone, which isn't there",
	} {
		err := Refuse([]string{fine, path}, nil)
		if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(say.Hint(err), "folder") {
			t.Errorf("%s: got %v (%s), want %q", path, err, say.Hint(err), want)
		}
		if err := RefuseInNew([]string{fine, path}, nil); err != nil {
			t.Errorf("%s, in a folder still to be made: %v", path, err)
		}
	}
	if err := Refuse([]string{fine, "", "-"}, nil); err != nil {
		t.Error(err)
	}
}

// TestLinksStay: the target of a symbolic link is replaced, be it in another
// folder or not there yet, and the link stays.
func TestLinksStay(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "far"), 0o777); err != nil {
		t.Fatal(err)
	}
	there := filepath.Join(dir, "far", "there.pdf")
	if err := os.WriteFile(there, []byte("old"), 0o666); err != nil {
		t.Fatal(err)
	}
	for name, to := range map[string]string{"a.pdf": "far/there.pdf", "b.pdf": "far/new.pdf", "c.pdf": "b.pdf"} {
		link := filepath.Join(dir, name)
		if err := os.Symlink(to, link); err != nil {
			t.Skip(err)
		}
	}
	for _, c := range []struct{ link, target string }{{"a.pdf", "there.pdf"}, {"b.pdf", "new.pdf"}, {"c.pdf", "new.pdf"}} {
		if _, err := Write(filepath.Join(dir, c.link), Options{}, func(w io.Writer) error { _, err := io.WriteString(w, c.link); return err }); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Lstat(filepath.Join(dir, c.link)); err != nil || info.Mode()&os.ModeSymlink == 0 {
			t.Errorf("%s is no link any more: %v", c.link, err)
		}
		if got, err := os.ReadFile(filepath.Join(dir, "far", c.target)); err != nil || string(got) != c.link {
			t.Errorf("%s holds %q, %v", c.target, got, err)
		}
	}
	if left, err := os.ReadDir(filepath.Join(dir, "far")); err != nil || len(left) != 2 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// TestOutputsThatMeet are refused before anything is written.
func TestOutputsThatMeet(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := os.WriteFile(at("in.pdf"), []byte("in"), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, make := range []func() error{
		func() error { return os.Link(at("in.pdf"), at("hard.pdf")) },
		func() error { return os.Symlink("in.pdf", at("soft.pdf")) },
		func() error { return os.Symlink("none.pdf", at("dangling.pdf")) },
		func() error { return os.Symlink(".", at("here")) },
	} {
		if err := make(); err != nil {
			t.Skip(err)
		}
	}
	for _, c := range []struct {
		outputs []string
		want    string // of the refusal; empty for none
	}{
		{[]string{at("out.pdf"), at("out.json"), "", "-", "-"}, ""},
		{[]string{at("out.pdf"), at("out.pdf")}, "two outputs are one file"},
		{[]string{at("out.pdf"), dir + "/./out.pdf"}, "are one file"},
		{[]string{at("out.pdf"), at("here/out.pdf")}, "are one file"},
		{[]string{at("out.pdf"), at("Out.PDF")}, "are one file"},
		{[]string{at("none.pdf"), at("dangling.pdf")}, "are one file"},
		{[]string{at("in.pdf")}, "also an input"},
		{[]string{at("hard.pdf")}, "also an input, as"},
		{[]string{at("soft.pdf")}, "also an input, as"},
		{[]string{at("here/in.pdf")}, "also an input, as"},
		{[]string{at("out.pdf"), dir}, "is a folder"},
	} {
		err := Refuse(c.outputs, []string{at("in.pdf"), at("missing.pdf")})
		if c.want == "" && err != nil || c.want != "" && (say.KindOf(err) != say.Usage || !strings.Contains(err.Error(), c.want) || say.Hint(err) == "") {
			t.Errorf("%q: got %v, want %q", c.outputs, err, c.want)
		}
	}
}
