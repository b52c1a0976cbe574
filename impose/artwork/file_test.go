package artwork

import (
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/pdfobj"
	"quoin/impose/witness"
)

func TestOpenErrorsNameTheFileAndTheWayOut(t *testing.T) {
	empty := witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [] /Count 0 >>")
	secret := filepath.Join(t.TempDir(), "secret.pdf")
	qpdf := witness.Need(t, "qpdf")
	if out, err := exec.Command(qpdf, "--encrypt", "user", "owner", "256", "--", onePage(t, ""), secret).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, c := range []struct {
		path string
		want error
		hint string
	}{
		{filepath.Join(t.TempDir(), "none.pdf"), fs.ErrNotExist, "check the path"},
		{t.TempDir(), errNotRegular, "save it to disk"},
		{write(t, "GIF89a, not a PDF at all"), pdfobj.ErrNotPDF, "must be PDF"},
		{write(t, ""), pdfobj.ErrNotPDF, "must be PDF"},
		{empty, ErrNoPages, "empty or damaged"},
		{secret, pdfobj.ErrPassword, "--password-file FILE"},
	} {
		f, err := Open(c.path, Options{})
		if f != nil || !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.path, err, c.want)
			continue
		}
		var e *Error
		if !errors.As(err, &e) || strings.Count(err.Error(), c.path) != 1 || !strings.Contains(e.Hint(), c.hint) {
			t.Errorf("%v (hint: %s)", err, e.Hint())
		}
	}
}

func TestUnreadableFile(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("root may read everything")
	}
	path := onePage(t, "")
	if err := os.Chmod(path, 0); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(path, Options{}); !errors.Is(err, fs.ErrPermission) {
		t.Error(err)
	}
}

func TestPageOutOfRangeNamesTheCount(t *testing.T) {
	f, err := Open(onePage(t, ""), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if f.Pages() != 1 {
		t.Errorf("%d pages", f.Pages())
	}
	for _, n := range []int{-1, 0, 2, 1 << 40} {
		_, err := f.Page(n)
		var e *Error
		if !errors.Is(err, ErrPageRange) || !errors.As(err, &e) || !strings.Contains(err.Error(), "1 page") || e.Hint() != "use page 1" {
			t.Errorf("page %d: %v", n, err)
		}
	}
}

func TestEncryptedWithoutPasswordOpens(t *testing.T) {
	path := filepath.Join(t.TempDir(), "restricted.pdf")
	qpdf := witness.Need(t, "qpdf")
	if out, err := exec.Command(qpdf, "--encrypt", "", "owner", "256", "--", onePage(t, ""), path).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if p := open(t, path, Options{}); !strings.Contains(codes(p), Encrypted) {
		t.Error(codes(p))
	}
}

func TestRepairedAndActionsAreTold(t *testing.T) {
	path := withCatalog(t, "/OpenAction << /S /JavaScript /JS (app.alert\\(1\\)) >> /Names << /JavaScript << /Names [] >> >>", "/AA << >>")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p := open(t, write(t, strings.Replace(string(data), "startxref\n", "startxref\n9", 1)), Options{})
	if got, want := codes(p, NoIntent), "actions-dropped repaired"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
