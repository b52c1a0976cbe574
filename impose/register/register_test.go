package register

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"go.etcd.io/bbolt"
	"pgregory.net/rapid"
)

func opened(t testing.TB, path string) *Register {
	t.Helper()
	r, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

// What was entered is there when the register is opened again, once, however
// often it was entered.
func TestEnteredOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r")
	for range 3 {
		r := opened(t, path)
		run, err := r.Enter(Entry{File: "run.pdf", Identity: "a", Records: 5}, "")
		if err != nil || run.ID != 1 {
			t.Fatal(run.ID, err)
		}
		if err := r.Issue(run.ID, []Code{{7, 1}, {7, 3}, {9, 2}}); err != nil {
			t.Fatal(err)
		}
		var packed Packed
		for _, values := range [][]string{{"a", ""}, nil, {"c", "d"}} {
			if err := packed.Add(values); err != nil {
				t.Fatal(err)
			}
		}
		if err := errors.Join(packed.End(), r.Keep(run.ID, 0, packed.Take())); err != nil {
			t.Fatal(err)
		}
		if err := r.Print(run.ID, Part{Number: 2, Sum: "x"}); err != nil {
			t.Fatal(err)
		}
		if err := r.Finish(&run); err != nil {
			t.Fatal(err)
		}
		if err := r.Close(); err != nil {
			t.Fatal(err)
		}
	}
	r, err := View(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	runs, err := r.Runs()
	if err != nil || len(runs) != 1 || !runs[0].Issued || runs[0].Begun.IsZero() {
		t.Errorf("%+v, %v", runs, err)
	}
	if list, err := r.With(7); err != nil || !slices.Equal(list, []Label{{1, 1}, {1, 3}}) {
		t.Errorf("%v, %v", list, err)
	}
	if parts, err := r.Parts(1); err != nil || len(parts) != 1 || parts[0].Sum != "x" {
		t.Errorf("%v, %v", parts, err)
	}
	var got []string
	err = r.Values(1, 2, func(record int64, values []string) (bool, error) {
		got = append(got, fmt.Sprintf("%d%q", record, values))
		return true, nil
	})
	if want := `[2[] 3["c" "d"]]`; err != nil || fmt.Sprint(got) != want {
		t.Errorf("%v, %v, want %s", got, err, want)
	}
}

// Taken finds what a plain walk through all pairs finds.
func TestTaken(t *testing.T) {
	defer func(was int) { sheaf = was }(sheaf)
	sheaf = 2
	dir, n := t.TempDir(), 0
	rapid.Check(t, func(rt *rapid.T) {
		n++
		r := opened(t, filepath.Join(dir, fmt.Sprint(n)))
		defer r.Close()
		draw := func(name string) (list []Code) {
			for i, h := range rapid.SliceOfN(rapid.Uint64Range(0, 30), 0, 12).Draw(rt, name) {
				list = append(list, Code{h, int64(i + 1)})
			}
			slices.SortFunc(list, func(a, b Code) int { return cmp.Or(cmp.Compare(a.Hash, b.Hash), cmp.Compare(a.Record, b.Record)) })
			return list
		}
		had, asked := draw("had"), draw("asked")
		if err := r.Issue(4, had); err != nil {
			rt.Fatal(err)
		}
		want := map[string]int{}
		for _, a := range asked {
			for _, h := range had {
				if a.Hash == h.Hash {
					want[fmt.Sprint(a, h.Record)]++
				}
			}
		}
		got := map[string]int{}
		if err := r.Taken(0, asked, func(c Code, l Label) error {
			got[fmt.Sprint(c, l.Record)]++
			return nil
		}); err != nil {
			rt.Fatal(err)
		}
		for k, n := range want {
			// A code that is asked for twice is found for the one or the other.
			if got[k] > n {
				rt.Fatalf("%s is found %d times", k, got[k])
			}
		}
		hashes := func(m map[string]int) (list []string) {
			for k := range m {
				hash, _, _ := strings.Cut(k, " ")
				list = append(list, hash)
			}
			slices.Sort(list)
			return slices.Compact(list)
		}
		if !slices.Equal(hashes(got), hashes(want)) {
			rt.Fatalf("found %v, want %v", got, want)
		}
	})
}

// Files that are no register, or half of one, are refused.
func TestFilesThatAreNoRegister(t *testing.T) {
	for name, text := range map[string]string{"empty": "", "text": strings.Repeat("code\n", 9000), "cut": ""} {
		path := filepath.Join(t.TempDir(), name)
		if name == "cut" {
			opened(t, path).Close()
			whole, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			text = string(whole[:8192])
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := Open(path); err == nil || !strings.Contains(err.Error(), "is no register, or is damaged") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := View(filepath.Join(t.TempDir(), "none")); err == nil || !strings.Contains(err.Error(), "there is no register") {
		t.Error(err)
	}
}

// A register of the first form, with a key for each code, is read as it is, and
// becomes of the second with its next run. The library itself puts it together.
func TestFirstFormIsRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r")
	db, err := bbolt.Open(path, 0o600, nil)
	if err != nil {
		t.Fatal(err)
	}
	err = db.Update(func(tx *bbolt.Tx) error {
		for _, name := range []string{"about", "runs", "codes", "values", "parts", "marks"} {
			if _, err := tx.CreateBucket([]byte(name)); err != nil {
				return err
			}
		}
		for _, c := range []Code{{7, 1}, {9, 2}} {
			if err := tx.Bucket([]byte("codes")).Put(key(c.Hash, uint32(1), c.Record), nil); err != nil {
				return err
			}
		}
		return tx.Bucket([]byte("about")).Put([]byte("schema"), []byte("quoin-register-1"))
	})
	if err := errors.Join(err, db.Close()); err != nil {
		t.Fatal(err)
	}
	look := func(r *Register, want ...Label) {
		t.Helper()
		var got []Label
		err := r.Taken(0, []Code{{5, 1}, {7, 1}, {9, 5}}, func(_ Code, l Label) error {
			got = append(got, l)
			return nil
		})
		slices.SortFunc(got, func(a, b Label) int { return cmp.Or(cmp.Compare(a.Run, b.Run), cmp.Compare(a.Record, b.Record)) })
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("taken are %v, want %v; %v", got, want, err)
		}
	}
	r, err := View(path)
	if err != nil {
		t.Fatal(err)
	}
	look(r, Label{1, 1}, Label{1, 2})
	if list, err := r.With(9); err != nil || !slices.Equal(list, []Label{{1, 2}}) {
		t.Errorf("%v, %v", list, err)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	r = opened(t, path)
	if err := r.Issue(2, []Code{{7, 4}, {8, 5}}); err != nil {
		t.Fatal(err)
	}
	look(r, Label{1, 1}, Label{1, 2}, Label{2, 4})
	if list, err := r.With(7); err != nil || !slices.Equal(list, []Label{{1, 1}, {2, 4}}) {
		t.Errorf("%v, %v", list, err)
	}
}
