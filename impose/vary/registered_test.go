package vary_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"quoin/impose/register"
	"quoin/impose/vary"
)

// registered writes a run with a register beside it.
func registered(t testing.TB, r *vary.Run, dir, name string, frames int64, again *vary.Reprint) error {
	t.Helper()
	_, err := r.Write(context.Background(), vary.Output{
		Path: filepath.Join(dir, name), Frames: frames, Identity: "test", Register: filepath.Join(dir, "r"), Reprint: again,
	})
	return err
}

// exported gives the register's labels by their codes.
func exported(t testing.TB, path string) map[string][]string {
	t.Helper()
	var b bytes.Buffer
	if err := vary.Export(path, "", &b); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	labels := map[string][]string{}
	for _, row := range rows[1:] {
		if labels[row[0]] != nil {
			t.Fatalf("%s is in the register twice", row[0])
		}
		labels[row[0]] = row
	}
	return labels
}

// Each label stands in the register where the ledger has it, as printed.
func agrees(t testing.TB, dir string, parts []vary.Part) {
	t.Helper()
	labels := exported(t, filepath.Join(dir, "r"))
	printed := 0
	for _, p := range parts {
		b, err := os.ReadFile(p.Ledger)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries(t, b) {
			if e.state != "printed" {
				continue
			}
			printed++
			code := fmt.Sprintf("HL-%07d\thttps://example.com/q/%07d", e.record, e.record)
			want := []string{"printed", "run.pdf", fmt.Sprint(e.record), filepath.Base(p.File), fmt.Sprint(e.frame), fmt.Sprint(e.lane), fmt.Sprint(e.row), fmt.Sprint(e.roll)}
			if got := labels[code]; len(got) < 9 || !slices.Equal(got[1:9], want) || got[12] != p.Sum {
				t.Fatalf("%q is %q in the register, and %q by the ledger of %s", code, got, want, p.Sum)
			}
		}
	}
	if printed != len(labels) || printed != 500 {
		t.Fatalf("%d labels are printed, and %d in the register", printed, len(labels))
	}
}

// ended lets a run that was broken off go on to its end.
func ended(t testing.TB, dir string) []vary.Part {
	t.Helper()
	parts, err := runToKill(t).Write(context.Background(), vary.Output{Path: filepath.Join(dir, "run.pdf"), Frames: 3, Identity: "test", Register: filepath.Join(dir, "r")})
	if err != nil {
		t.Fatal(err)
	}
	return parts
}

// The run with its register is killed at random moments, and in the end all
// codes, parts and places are in it once, and the files are those of an unbroken
// run.
func TestKilledRegisters(t *testing.T) {
	t.Parallel()
	kills := moments(t)
	whole := t.TempDir()
	start := time.Now()
	if err := registered(t, runToKill(t), whole, "run.pdf", 3, nil); err != nil {
		t.Fatal(err)
	}
	took := time.Since(start) + 50*time.Millisecond
	want := folder(t, whole)
	delete(want, "r")
	random := rand.New(rand.NewPCG(3, 4))
	dir := t.TempDir()
	finished := 0
	for killed := 0; killed < kills; {
		child := exec.Command(os.Args[0], "-test.run", "^TestChild$")
		child.Env = append(os.Environ(), childKey+"="+dir, registerKey+"="+filepath.Join(dir, "r"))
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(random.Float64() * float64(took) * 0.8))
		child.Process.Kill()
		err := child.Wait()
		var exit *exec.ExitError
		switch {
		case err == nil:
			finished++
			got := folder(t, dir)
			delete(got, "r")
			if off := differing(got, want); off != "" {
				t.Fatalf("a run that was killed and ended gave other files: %s", off)
			}
			agrees(t, dir, ended(t, dir))
			dir = t.TempDir()
		case errors.As(err, &exit) && exit.ExitCode() == -1:
			killed++
		default:
			t.Fatal(err)
		}
	}
	if err := registered(t, runToKill(t), dir, "run.pdf", 3, nil); err != nil {
		t.Fatal(err)
	}
	got := folder(t, dir)
	delete(got, "r")
	if off := differing(got, want); off != "" {
		t.Fatalf("a run that was killed gave other files: %s", off)
	}
	agrees(t, dir, ended(t, dir))
	t.Logf("ended by itself %d times", finished)
}

// Files may be only so large at first, which the system answers as a full disk
// does; with room, the same command ends the run and nothing is lost or doubled.
func TestRegisterOnAFullDisk(t *testing.T) {
	if _, err := exec.LookPath("bash"); err != nil {
		t.Skip("there is no bash to set a limit with")
	}
	t.Parallel()
	tries := moments(t)
	random := rand.New(rand.NewPCG(5, 6))
	refused := 0
	for range tries {
		dir := t.TempDir()
		// Each part has 60 KiB, and the register may grow larger; a limit about
		// there stops the one or the other, or neither.
		limit := 8 + random.IntN(100)
		child := exec.Command("bash", "-c", fmt.Sprintf("trap '' XFSZ; ulimit -f %d; exec \"$0\" -test.run '^TestChild$'", limit), os.Args[0])
		child.Env = append(os.Environ(), childKey+"="+dir, registerKey+"="+filepath.Join(dir, "r"))
		if out, err := child.CombinedOutput(); err != nil {
			refused++
			if bytes.Contains(out, []byte("panic")) {
				t.Fatalf("%d KiB: %s", limit, out)
			}
		}
		agrees(t, dir, ended(t, dir))
	}
	if refused == 0 {
		t.Error("no limit stopped a run: the test looks at nothing")
	}
	t.Logf("%d of %d runs were stopped", refused, tries)
}

// A reprint is bound to its run: sorted data, data of another run, records that
// were not printed, a ledger that was changed.
func TestReprintIsBoundToItsRun(t *testing.T) {
	text := "serial\n"
	for i := range 40 {
		text += "S" + strconv.Itoa((i*7)%40+100) + "\n"
	}
	field := textField()
	field.Value = "{serial}"
	dir := t.TempDir()
	run := func(text string, only ...int64) *vary.Run {
		p := plan(t, 1, field)
		p.Records, p.Only = table(t, text), only
		return prepare(t, p)
	}
	if err := registered(t, run(text), dir, "run.pdf", 2, nil); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(text), "\n")
	slices.Sort(lines[1:])
	for want, err := range map[string]error{
		"the records have changed since run.pdf was printed": registered(t, run(strings.Join(lines, "\n")+"\n", 3), dir, "sorted.pdf", 0, &vary.Reprint{}),
		"knows no such run":                registered(t, run(text, 3), dir, "other.pdf", 0, &vary.Reprint{Run: filepath.Join(dir, "none.pdf")}),
		"was issued already: it is record": registered(t, run(strings.Join(lines, "\n")+"\n"), dir, "twice.pdf", 0, nil),
		"":                                 registered(t, run(text, 3, 4), dir, "again.pdf", 0, &vary.Reprint{}),
	} {
		if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "sorted.pdf")); err == nil {
		t.Error("the wrong labels were written")
	}
	found, err := vary.Find(filepath.Join(dir, "r"), "S114")
	if err != nil || len(found) != 1 || found[0].State != register.Reprinted || found[0].Record != 3 || len(found[0].Again) != 1 || found[0].Again[0].Run != "again.pdf" {
		t.Errorf("%+v, %v", found, err)
	}
	if err := os.WriteFile(filepath.Join(dir, "run-0001.ledger.csv"), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := registered(t, run(text, 9), dir, "more.pdf", 0, &vary.Reprint{}); err == nil || !strings.Contains(err.Error(), "run-0001.ledger.csv has changed since") {
		t.Error(err)
	}
}

// BenchmarkRegisterRatio prints what the register adds to a run of labels with
// text, alone and with a symbol, as times without it: in time on the wall, in
// processor time, and how large it gets.
func BenchmarkRegisterRatio(b *testing.B) {
	const count = 200_000
	for name, fields := range map[string][]vary.Field{"text": {textField()}, "text-and-qr": {textField(), qrField()}} {
		b.Run(name, func(b *testing.B) {
			var wall [2]time.Duration
			var used [2]float64
			for b.Loop() {
				dir := b.TempDir()
				for i, book := range []string{"", filepath.Join(dir, "r")} {
					start, begun := cpu(b), time.Now()
					p := plan(b, count, fields...)
					p.Layout = layout(b, 0, 9)
					o := vary.Output{Path: filepath.Join(dir, fmt.Sprintf("run%d.pdf", i)), Frames: 1400, Identity: "test", Register: book}
					if _, err := prepare(b, p).Write(context.Background(), o); err != nil {
						b.Fatal(err)
					}
					wall[i], used[i] = wall[i]+time.Since(begun), used[i]+cpu(b)-start
				}
				if info, err := os.Stat(filepath.Join(dir, "r")); err == nil {
					b.ReportMetric(float64(info.Size())/count, "bytes/label")
				}
			}
			b.ReportMetric(wall[1].Seconds()/wall[0].Seconds(), "x-wall")
			b.ReportMetric(used[1]/used[0], "x-cpu")
		})
	}
}
