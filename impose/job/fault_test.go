package job

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestFaultReports reads each file of testdata/faults by the reader that its
// name begins with and compares what a person would see. UPDATE=1 rewrites the
// reports: read the difference.
func TestFaultReports(t *testing.T) {
	paths, err := filepath.Glob("testdata/faults/*")
	if err != nil || len(paths) == 0 {
		t.Fatal("no files", err)
	}
	for _, path := range paths {
		if strings.HasSuffix(path, ".report") {
			continue
		}
		t.Run(filepath.Base(path), func(t *testing.T) {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			e, ok := errors.AsType[*FileError](readByName(filepath.Base(path), data))
			if !ok {
				t.Fatal("no fault found")
			}
			golden(t, path+".report", e.Report())
			if got := strings.Count(e.Error(), "\n") + 1; got != len(e.Faults) {
				t.Errorf("%d lines for %d faults", got, len(e.Faults))
			}
		})
	}
}

// readByName picks the reader by the file's name.
func readByName(name string, data []byte) (err error) {
	switch {
	case strings.HasPrefix(name, "house"):
		_, err = ParseHouseBy(name, data, loadRegular)
	case strings.HasPrefix(name, "press"):
		_, err = ParsePress(name, data)
	case strings.HasPrefix(name, "dies"):
		_, err = ParseDies(name, data)
	case strings.HasPrefix(name, "orders"):
		_, err = ParseOrders(name, data)
	default:
		_, err = Houses(nil).ParseJob(name, data, func(string, int64) ([]byte, error) { return nil, fs.ErrNotExist })
	}
	return err
}

func golden(t *testing.T, path, got string) {
	t.Helper()
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err, "(UPDATE=1 writes it)")
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Error(diff)
	}
}

func TestQuoteCutsLongLines(t *testing.T) {
	line := strings.Repeat("ä", 200) + "X" + strings.Repeat("b", 200)
	got, caret := quote(line, 200)
	if r := []rune(got); len(r) > 102 || r[caret] != 'X' || r[0] != '…' || r[len(r)-1] != '…' {
		t.Errorf("caret %d in %q", caret, got)
	}
	got, caret = quote(line, 3)
	if r := []rune(got); len(r) > 102 || caret != 3 || r[0] != 'ä' {
		t.Errorf("caret %d in %q", caret, got)
	}
	got, caret = quote("short", 4)
	if got != "short" || caret != 4 {
		t.Errorf("caret %d in %q", caret, got)
	}
}

// A file that is something else altogether ends in time and with few words.
func TestHostileFiles(t *testing.T) {
	for name, text := range map[string]string{
		"dies.csv":        "number,size,lanes,rows,gap,station\n" + strings.Repeat("1\n", 100_000),
		"orders.csv":      "order,quantity,label\n" + strings.Repeat("ä,", 500_000),
		"orders-wide.csv": strings.Repeat("ä,", 500_000),
		"dies.yaml":       "dies: [" + strings.Repeat("{x: ä}, ", 15_000) + "]",
		"job.yaml":        "a: &a [x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a]\nname: [*b,*b,*b,*b,*b,*b]\n",
		"deep.yaml":       "name: " + strings.Repeat("[", 100_000),
		"keys.yaml":       strings.Repeat("an-unknown-key-of-forty-letters-and-more: 1\n", 12_000),
	} {
		e, ok := errors.AsType[*FileError](readByName(name, []byte(text)))
		if !ok {
			t.Errorf("%s is read", name)
			continue
		}
		if len(e.Faults) > maxFaults {
			t.Errorf("%s has %d faults", name, len(e.Faults))
		}
		if n := len(e.Report()); n > 1000*len(e.Faults)+10_000 {
			t.Errorf("%s has a report of %d bytes for %d faults", name, n, len(e.Faults))
		}
	}
}
