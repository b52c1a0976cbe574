package vary_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/data"
	"quoin/impose/register"
	"quoin/impose/vary"
)

// manyCodes is a run of records with codes of their own, in no order.
func manyCodes(t *testing.T, count int, text string) *vary.Run {
	t.Helper()
	var b strings.Builder
	b.WriteString("code\n")
	for i := range count {
		fmt.Fprintf(&b, "%06d\n", i*7919%1_000_003)
	}
	f := textField()
	f.Value = "{code}"
	p := plan(t, 1, f)
	path := filepath.Join(t.TempDir(), "codes.csv")
	if err := os.WriteFile(path, []byte(b.String()+text), 0o600); err != nil {
		t.Fatal(err)
	}
	var err error
	if p.Records, err = data.Open(data.Definition{File: path}); err != nil {
		t.Fatal(err)
	}
	r, err := vary.Prepare(context.Background(), p)
	if text != "" {
		want := fmt.Sprintf(":%d:", count+2)
		if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "record 6 in line 7") {
			t.Fatalf("%v, want both places, %s first", err, want)
		}
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(r.Close)
	return r
}

// Codes that are sorted on disk come out as those that are sorted in memory: the
// register is the same, repeats are found across stretches, and nothing is left of
// the file.
func TestManyCodesAreSortedOnDisk(t *testing.T) {
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	const count = 10_000
	var labels [2]map[uint64][]register.Label
	for i, held := range []int{1 << 17, 2048} {
		vary.HoldAtOnce(t, held)
		dir := t.TempDir()
		o := vary.Output{Path: filepath.Join(dir, "run.pdf"), Register: filepath.Join(dir, "r")}
		if _, err := manyCodes(t, count, "").Write(context.Background(), o); err != nil {
			t.Fatal(err)
		}
		labels[i] = map[uint64][]register.Label{}
		reg, err := register.View(o.Register)
		if err != nil {
			t.Fatal(err)
		}
		for n := range count {
			h := vary.Hash(fmt.Sprintf("%06d", n*7919%1_000_003))
			if labels[i][h], err = reg.With(h); err != nil {
				t.Fatal(err)
			}
			if l := labels[i][h]; len(l) != 1 || l[0].Record != int64(n)+1 {
				t.Fatalf("record %d: %v", n+1, l)
			}
		}
		reg.Close()
		// The sixth record once more, at the end.
		manyCodes(t, count, fmt.Sprintf("%06d\n", 5*7919))
	}
	if left, err := os.ReadDir(temp); err != nil || len(left) > 0 {
		t.Errorf("%v is left, %v", left, err)
	}
}

// A folder that takes no file is told with the way out.
func TestCodesFindNoRoom(t *testing.T) {
	t.Setenv("TMPDIR", filepath.Join(t.TempDir(), "none"))
	vary.HoldAtOnce(t, 2048)
	p := plan(t, 5000, textField())
	if _, err := vary.Prepare(context.Background(), p); err == nil || !strings.Contains(err.Error(), "can't be sorted in") {
		t.Error(err)
	}
}
