package vary

import (
	"encoding/csv"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// reprinted is a line in the journal of a run whose labels are printed again
// without a register.
type reprinted struct {
	File     string    `json:"file"` // press file, from the run's folder
	Identity string    `json:"identity"`
	Records  []int64   `json:"records"`
	Reason   string    `json:"reason"`
	When     time.Time `json:"when"`
}

// bindToJournal binds a reprint to its run where there is no register: by the
// run's journal, which proves that job, artwork and records are those that were
// printed, and by its ledgers, which must be as they were written. It enters the
// reprint in that journal; with look it only looks.
func bindToJournal(r *Run, o Output, identity string, look bool) (err error) {
	path := o.Reprint.Run
	if path == "" {
		return say.Refuse(say.Usage, "name the press file of the run with --run: its journal and ledgers stand beside it", "without a register nothing says which run is printed again")
	}
	if journalPath(path) == journalPath(o.Path) {
		return say.Refuse(say.Usage, "choose another name for the reprint", "%s is the run itself", o.Path)
	}
	if _, err := os.Stat(journalPath(path)); err != nil {
		return say.Refuse(say.BadFile, "bring the journal back: without register and journal nothing says what was printed", "there is no journal %s", journalPath(path))
	}
	j, err := readJournal(journalPath(path))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, j.close()) }()
	if same, err := isJournalOf(r, j, o); err != nil || !same {
		return errors.Join(err, unless(same, say.Refuse(say.BadFile, "bring back what the run was printed from: other labels would come out", "job, artwork or records have changed since %s was printed", path)))
	}
	if err := wasPrinted(r, j, path); err != nil {
		return err
	}
	file, err := filepath.Rel(filepath.Dir(path), o.Path)
	if err != nil {
		return err
	}
	for _, had := range j.again {
		if had.File == file && had.Identity == identity {
			return nil // it goes on
		}
	}
	for _, had := range j.again {
		for _, record := range r.plan.Only {
			if slices.Contains(had.Records, record) && o.Reprint.Reason == "" {
				return say.Refuse(say.BadFile, "say with --reason why it is printed once more, or take it off the list", "record %d was printed again already, by %s on %s: %s", record, had.File, had.When.Format("2006-01-02"), had.Reason)
			}
		}
	}
	if look {
		return nil
	}
	reason := o.Reprint.Reason
	if reason == "" {
		reason = "spoiled"
	}
	return j.line(entry{Again: &reprinted{file, identity, r.plan.Only, reason, time.Now().UTC()}})
}

// unless returns the error where something isn't so.
func unless(so bool, err error) error {
	if so {
		return nil
	}
	return err
}

// isJournalOf reports whether a journal is that of a run from the same job, artwork and
// records. Journals of before know the run only with the size of its parts.
func isJournalOf(r *Run, j *journal, o Output) (bool, error) {
	made, err := r.made(o)
	if err != nil || j.made != "" {
		return made == j.made, err
	}
	whole := *r
	whole.plan.Only = nil
	whole.Order.Records = r.plan.Records.Count
	for _, o.Frames = range []int64{0, j.parts[1].Frames} {
		identity, err := whole.identity(o)
		if err != nil || identity == j.identity {
			return err == nil, err
		}
	}
	return false, nil
}

// wasPrinted refuses records that no ledger of the run names as printed.
func wasPrinted(r *Run, j *journal, path string) error {
	whole := r.Order
	whole.Records = r.plan.Records.Count
	missing := map[int64]bool{}
	parts := map[int64]bool{} // that have to be looked at
	for _, record := range r.plan.Only {
		missing[record] = true
		frame, _, _ := whole.Place(record - 1)
		for _, p := range j.parts {
			if frame >= p.First-1 && frame < p.First-1+p.Frames {
				parts[p.Number] = true
			}
		}
	}
	for number := range parts {
		p := j.parts[number]
		ledger := filepath.Join(filepath.Dir(path), filepath.Base(p.Ledger))
		switch got, err := wholefile.SHA256(ledger); {
		case os.IsNotExist(err):
			return say.Refuse(say.BadFile, "bring the ledger back: without a register it alone says what was printed", "the ledger %s is gone", ledger)
		case err != nil:
			return err
		case got != p.Book:
			return say.Refuse(say.BadFile, "bring back the ledger as it was written", "%s has changed since it was written", ledger)
		}
		if err := strikePrinted(ledger, missing); err != nil {
			return err
		}
	}
	for _, record := range r.plan.Only {
		if missing[record] {
			return say.Refuse(say.BadFile, "let the run go on first: the command that began it prints what is missing", "record %d was never printed by %s", record, path)
		}
	}
	return nil
}

// strikePrinted takes the records out that a ledger names as printed.
func strikePrinted(ledger string, missing map[int64]bool) error {
	f, err := os.Open(ledger)
	if err != nil {
		return err
	}
	defer f.Close()
	rows := csv.NewReader(f)
	rows.ReuseRecord = true
	for {
		row, err := rows.Read()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		if n, err := strconv.ParseInt(row[0], 10, 64); err == nil && row[len(row)-1] == "printed" {
			delete(missing, n)
		}
	}
}
