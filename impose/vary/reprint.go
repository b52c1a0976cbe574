package vary

import (
	"encoding/json"
	"errors"
	"path/filepath"
	"slices"

	"quoin/impose/register"
	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// Reprint says what a run prints again.
type Reprint struct {
	Run    string // press file of the run; "" where the register knows one only; needed without a register
	Reason string // for labels that were printed again before
}

// enterReprint finds the run that is printed again and enters the reprint.
func enterReprint(reg *register.Register, e *entered, o Output) error {
	var err error
	if e.of, err = originalOf(reg, e, o); err != nil {
		return err
	}
	e.run.Of = e.of.ID
	runs, err := reg.Runs()
	if err != nil {
		return err
	}
	for _, had := range runs {
		if had.File == e.run.File && had.Identity == e.run.Identity && had.Of == e.of.ID {
			e.run = had // it goes on
			return nil
		}
	}
	if err := mayReprint(reg, runs, e, o); err != nil {
		return err
	}
	reason := o.Reprint.Reason
	if reason == "" {
		reason = "spoiled"
	}
	e.run.Issued = true // its codes are the run's
	e.run, err = reg.Enter(e.run, reason)
	return err
}

// originalOf finds the run that was made from the same job, artwork and data.
func originalOf(reg *register.Register, e *entered, o Output) (of register.Entry, err error) {
	runs, err := reg.Runs()
	if err != nil {
		return of, err
	}
	runs = slices.DeleteFunc(runs, func(run register.Entry) bool { return run.Of != 0 || !run.Issued })
	if o.Reprint.Run != "" {
		file, err := filepath.Rel(filepath.Dir(e.path), o.Reprint.Run)
		if err != nil {
			return of, err
		}
		runs = slices.DeleteFunc(runs, func(run register.Entry) bool { return run.File != file })
	}
	var made []register.Entry
	for _, run := range runs {
		if run.Made == e.run.Made {
			made = append(made, run)
		}
	}
	switch {
	case len(made) == 1:
		return made[0], nil
	case len(made) > 1:
		return of, say.Refuse(say.Usage, "name its press file with --run", "%d runs of %s were printed from this job", len(made), e.path)
	case len(runs) == 0:
		return of, say.Refuse(say.BadFile, "name the register of the run with --register", "%s knows no such run", e.path)
	}
	last := runs[len(runs)-1]
	what := "job or artwork have"
	if last.Data != e.run.Data || last.Records != e.run.Records {
		what = "the records have"
	}
	return of, say.Refuse(say.BadFile, "bring back what the run was printed from: other labels would come out", "%s changed since %s was printed on %s", what, last.File, stamp(last.Begun))
}

// mayReprint refuses records that were never printed, that are void, and those
// that were printed again without a reason to do it once more.
func mayReprint(reg *register.Register, runs []register.Entry, e *entered, o Output) error {
	var where places
	if err := json.Unmarshal(e.of.Places, &where); err != nil {
		return err
	}
	parts, err := reg.Parts(e.of.ID)
	if err != nil {
		return err
	}
	if err := ledgersAreTrue(e.path, parts); err != nil {
		return err
	}
	for _, record := range e.run.Only {
		frame, _, _ := where.Order.Place(record - 1)
		if partOf(parts, frame) == nil {
			return say.Refuse(say.BadFile, "let the run go on first: the command that began it prints what is missing", "record %d was never printed by %s", record, e.of.File)
		}
		var wrong error
		err := reg.Marks(e.of.ID, record, func(_ int64, m register.Mark) {
			switch {
			case wrong != nil:
			case m.State == register.Void:
				wrong = say.Refuse(say.BadFile, "take it off the list", "record %d is void since %s: %s", record, m.When.Format("2006-01-02"), m.Reason)
			case m.State == register.Reprinted && o.Reprint.Reason == "":
				file := ""
				for _, run := range runs {
					if run.ID == m.Run {
						file = run.File
					}
				}
				wrong = say.Refuse(say.BadFile, "say with --reason why it is printed once more, or take it off the list", "record %d was printed again already, by %s on %s: %s", record, file, m.When.Format("2006-01-02"), m.Reason)
			}
		})
		if err := errors.Join(err, wrong); err != nil {
			return err
		}
	}
	return nil
}

// partOf returns the part with a frame, counted from 0.
func partOf(parts []register.Part, frame int64) *register.Part {
	for i, p := range parts {
		if frame >= p.First-1 && frame < p.First-1+p.Frames {
			return &parts[i]
		}
	}
	return nil
}

// ledgersAreTrue refuses ledgers that are no longer as they were written; those
// that have been taken away are the register's word.
func ledgersAreTrue(path string, parts []register.Part) error {
	for _, p := range parts {
		ledger := filepath.Join(filepath.Dir(path), p.Ledger)
		got, err := wholefile.SHA256(ledger)
		if err == nil && got != p.Book {
			return say.Refuse(say.BadFile, "bring back the ledger as it was written, or take it away: the register knows the rest", "%s has changed since it was written", ledger)
		}
	}
	return nil
}
