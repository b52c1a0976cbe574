package vary_test

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"quoin/impose/vary"
)

// Without a register, journal and ledgers of the run bind its reprints: to the same
// records, to what was printed, once without a reason; and the run's own journal
// shows them.
func TestReprintIsBoundToTheJournal(t *testing.T) {
	text := "serial\n"
	for i := range 60 {
		text += "S" + strconv.Itoa((i*7)%60+100) + "\n"
	}
	field := textField()
	field.Value = "{serial}"
	dir := t.TempDir()
	again := func(text, name string, frames int64, reprint *vary.Reprint, only ...int64) error {
		p := plan(t, 1, field)
		p.Records, p.Only = table(t, text), only
		r := prepare(t, p)
		o := vary.Output{Path: filepath.Join(dir, name), Frames: frames, Identity: "test", Reprint: reprint}
		if reprint != nil {
			if err := r.Check(context.Background(), o); err != nil {
				return err
			}
		}
		_, err := r.Write(context.Background(), o)
		return err
	}
	if err := again(text, "run.pdf", 1, nil); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(text), "\n")
	lines[3], lines[4] = lines[4], lines[3]
	sorted := strings.Join(lines, "\n") + "\n"
	run := filepath.Join(dir, "run.pdf")
	says := func(want string, err error) {
		t.Helper()
		if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	says("nothing says which run", again(text, "a.pdf", 0, &vary.Reprint{}, 3))
	says("there is no journal", again(text, "b.pdf", 0, &vary.Reprint{Run: filepath.Join(dir, "no.pdf")}, 3))
	says("have changed since", again(sorted, "c.pdf", 0, &vary.Reprint{Run: run}, 3))
	says("is the run itself", again(text, "run.pdf", 0, &vary.Reprint{Run: run}, 3))
	says("", again(text, "d.pdf", 0, &vary.Reprint{Run: run}, 3, 4))
	says("", again(text, "d.pdf", 0, &vary.Reprint{Run: run}, 3, 4)) // it is the same, and nothing is printed twice
	says("record 4 was printed again already, by d.pdf on", again(text, "e.pdf", 0, &vary.Reprint{Run: run}, 4, 5))
	says("", again(text, "e.pdf", 0, &vary.Reprint{Run: run, Reason: "the roll was dropped"}, 4, 5))
	says("the roll was dropped", again(text, "f.pdf", 0, &vary.Reprint{Run: run}, 5))
	for _, name := range []string{"a.pdf", "b.pdf", "c.pdf", "f.pdf"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			t.Errorf("%s was written", name)
		}
	}
	pdf, err := os.ReadFile(filepath.Join(dir, "d.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Fields(textOf(t, save(t, "d.pdf", pdf))); len(got) != 2 || got[0] != "S114" && got[1] != "S114" {
		t.Errorf("the reprint says %q", got)
	}
	ledgers, err := filepath.Glob(filepath.Join(dir, "run-*.ledger.csv"))
	if err != nil || len(ledgers) < 2 {
		t.Fatal(ledgers, err)
	}
	book, err := os.ReadFile(ledgers[0])
	if err != nil {
		t.Fatal(err)
	}
	first := strings.Split(strings.Split(string(book), "\n")[1], ",")[0]
	record, err := strconv.ParseInt(first, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(ledgers[0], append(book, 'x'), 0o600); err != nil {
		t.Fatal(err)
	}
	says("has changed since it was written", again(text, "g.pdf", 0, &vary.Reprint{Run: run, Reason: "torn"}, record))
	os.Remove(ledgers[0])
	says("the ledger", again(text, "g.pdf", 0, &vary.Reprint{Run: run, Reason: "torn"}, record))
	// A run that was broken off has labels that were never printed.
	journal, err := os.ReadFile(filepath.Join(dir, "run.journal"))
	if err != nil {
		t.Fatal(err)
	}
	kept := strings.Split(string(journal), "\n")[:3] // the head, and the first part
	if err := os.WriteFile(filepath.Join(dir, "run.journal"), []byte(strings.Join(kept, "\n")+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	last := int64(0)
	for n := range int64(60) {
		if n+1 != record {
			last = n + 1
		}
	}
	says("was never printed by", again(text, "h.pdf", 0, &vary.Reprint{Run: run, Reason: "torn"}, last))
}
