package job

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// seeds adds the samples and the faulty files whose name matches.
func seeds(f *testing.F, patterns ...string) {
	f.Helper()
	for _, pattern := range patterns {
		paths, err := filepath.Glob(pattern)
		if err != nil || len(paths) == 0 {
			f.Fatalf("no seeds match %s: %v", pattern, err)
		}
		for _, path := range paths {
			data, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(data)
		}
	}
}

// sound checks what must hold of every error, whatever was read.
func sound(t *testing.T, data []byte, err error) {
	t.Helper()
	if err == nil {
		return
	}
	e, ok := errors.AsType[*FileError](err)
	if !ok || len(e.Faults) == 0 {
		t.Fatalf("an error without faults: %#v", err)
	}
	lines := 1 + strings.Count(string(data), "\n")
	for _, f := range e.Faults {
		if f.Line < 1 || f.Line > lines+1 || f.Col < 1 || f.Text() == "" {
			t.Fatalf("a fault without a place or a text: %+v", f)
		}
	}
	if report := e.Report(); len(report) > 10_000+len(e.Faults)*2000 {
		t.Fatalf("a report of %d bytes for %d faults", len(report), len(e.Faults))
	}
}

func FuzzJob(f *testing.F) {
	seeds(f, samples+"job.yaml", "testdata/faults/*.yaml")
	f.Add([]byte(fullJob))
	f.Add([]byte("a: &a [x, x]\nb: &b [*a, *a]\nname: [*b, *b]\n"))
	f.Add([]byte("artworks: &a [*a]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := Houses(nil).ParseJob("job.yaml", data, func(string, int64) ([]byte, error) { return nil, fs.ErrNotExist })
		sound(t, data, err)
		if j == nil {
			t.Fatal("no job")
		}
		j.Validate()
		j.Request()
		if err == nil {
			if err := bySchema(t, "job", data); err != nil {
				t.Fatalf("the reader takes what the schema refuses: %v", err)
			}
		}
	})
}

func FuzzDiesCSV(f *testing.F) {
	seeds(f, samples+"dies.csv", "testdata/faults/dies.csv")
	f.Add([]byte("number;size\n\"1\n;2"))
	f.Fuzz(func(t *testing.T, data []byte) {
		library, err := ParseDies("dies.csv", data)
		sound(t, data, err)
		for i, d := range library.Dies {
			if d.Number == "" || len(d.Check()) > 0 || library.At(i, "number").Line < 2 {
				t.Fatalf("a die that can't be: %+v", d)
			}
		}
	})
}
