package folder

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// made makes a folder of the files.
func made(t *testing.T, files map[string]string) *Folder {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	f, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func TestNothingLeadsOut(t *testing.T) {
	f := made(t, map[string]string{"in/job.yaml": "web: 1mm\n"})
	away := t.TempDir()
	if err := os.WriteFile(filepath.Join(away, "x.yaml"), []byte("web: 2mm\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	for link, to := range map[string]string{"away": away, "file.yaml": filepath.Join(away, "x.yaml"), "nowhere.yaml": filepath.Join(away, "none.yaml"), "in/back.yaml": "job.yaml"} {
		if err := os.Symlink(to, filepath.Join(f.Path, filepath.FromSlash(link))); err != nil {
			t.Skip("no symbolic links here")
		}
	}
	for _, path := range []string{"..", "../x", "in/../../x", "/etc/passwd", "away", "away/x.yaml", "away/new.yaml", "file.yaml", "nowhere.yaml", ".git/config", "in/.hidden", "a\x00b", `in\job.yaml`, ""} {
		if _, err := f.Abs(path); !IsOutside(err) {
			t.Errorf("%q is let through: %v", path, err)
		}
		if _, err := f.Read(path, 100); err == nil {
			t.Errorf("%q is read", path)
		}
		if err := f.Replace(path, "", []byte("x")); err == nil {
			t.Errorf("%q is written", path)
		}
	}
	for _, path := range []string{"in/job.yaml", "in/back.yaml", "in/new.yaml", "new/new.yaml"} {
		if _, err := f.Abs(path); err != nil {
			t.Errorf("%q is refused: %v", path, err)
		}
	}
	if _, err := f.Named(filepath.Join(f.Path, "in", "back.yaml"), 100); err != nil {
		t.Errorf("a link within the folder: %v", err)
	}
	if _, err := f.Named(filepath.Join(away, "x.yaml"), 100); !IsOutside(err) {
		t.Errorf("a file outside: %v", err)
	}
}

func TestReplaceSeesTheEarlierOne(t *testing.T) {
	f := made(t, map[string]string{"job.yaml": "one"})
	if err := f.Replace("job.yaml", Version([]byte("one")), []byte("two")); err != nil {
		t.Fatal(err)
	}
	var conflict *ConflictError
	if err := f.Replace("job.yaml", Version([]byte("one")), []byte("three")); !errors.As(err, &conflict) || string(conflict.Now) != "two" {
		t.Errorf("a change on an old version: %v", err)
	}
	if err := f.Replace("job.yaml", "", []byte("new")); !errors.As(err, &conflict) {
		t.Errorf("a new file where one is: %v", err)
	}
	if err := f.Replace("gone.yaml", Version([]byte("one")), []byte("two")); !errors.As(err, &conflict) {
		t.Errorf("a change of a file that is gone: %v", err)
	}
	if got, err := f.Read("job.yaml", 100); string(got) != "two" {
		t.Errorf("the file holds %q (%v)", got, err)
	}
}

func TestPut(t *testing.T) {
	f := made(t, nil)
	for _, c := range []struct{ text, want string }{{"a", "x.pdf"}, {"a", "x.pdf"}, {"b", "x-2.pdf"}, {"c", "x-3.pdf"}, {"b", "x-2.pdf"}} {
		if got, err := f.Put("x.pdf", strings.NewReader(c.text)); err != nil || got != c.want {
			t.Errorf("%q is put as %s (%v), want %s", c.text, got, err, c.want)
		}
	}
	entries, err := os.ReadDir(f.Path)
	if err != nil || len(entries) != 3 {
		t.Errorf("%d files (%v), want 3", len(entries), err)
	}
}

func TestKinds(t *testing.T) {
	f := made(t, map[string]string{
		"job.yaml": "name: 'Plum jam' # this year's\nartworks:\n- file: a.pdf\n", "press.yaml": "name: p\nweb-min: 1mm\nweb-max: 2mm\n",
		"sub/dies.yaml": "dies:\n- number: 1\n", "dies.csv": "# head\nnumber,size,lanes\n", "orders.csv": "order,quantity\n", "rows.csv": "a;b\n",
		"art.PDF": "%PDF-1.4", "sub/house.yaml": "press: press.yaml\nweb: 340mm\n", "colour/house.yaml": "tolerances: {}\n", "night.yaml": "press: press.yaml\ngap: 3mm\n", "begun.yaml": "label: 50x75mm\n", "readme.txt": "no", "out/job.pdf": "%PDF-1.4", ".hidden.yaml": "artworks: []\n", "other.yaml": "a: 1\n",
	})
	list, err := f.List()
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]Kind{}
	for _, e := range list {
		got[e.Path] = e.Kind
		if e.Path == "job.yaml" && e.Name != "Plum jam" {
			t.Errorf("the job is called %q", e.Name)
		}
	}
	want := map[string]Kind{"job.yaml": Job, "press.yaml": Press, "sub/dies.yaml": Dies, "dies.csv": Dies, "orders.csv": Orders, "sub/house.yaml": House, "night.yaml": Shared, "begun.yaml": Job, "rows.csv": Table, "art.PDF": Artwork}
	for path, kind := range want {
		if got[path] != kind {
			t.Errorf("%s is %q, want %q", path, got[path], kind)
		}
	}
	if len(got) != len(want) {
		t.Errorf("found %v", got)
	}
}
