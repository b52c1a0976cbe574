package vary

import (
	"context"

	"quoin/impose/register"
)

// errand is work on the register that is done while frames are made: what it takes is
// waiting for the disk more than anything. Nothing appears before it is done.
type errand struct{ done chan error }

// behind begins an errand when the one before is done.
func (e *entered) behind(do func(*register.Register) error) error {
	if err := e.wait(); err != nil {
		return err
	}
	done := make(chan error, 1)
	e.errand = &errand{done}
	go func() { done <- e.book(do) }()
	return nil
}

// wait returns when no errand is left.
func (e *entered) wait() error {
	if e == nil || e.errand == nil {
		return nil
	}
	err := <-e.errand.done
	e.errand = nil
	return err
}

// enterRun enters the run in the register. It returns when the run is found to be one
// that may be printed; codes and values, which take longer, follow behind.
func enterRun(ctx context.Context, r *Run, o Output, identity string, j *journal) (*entered, error) {
	e, err := newEntry(r, o, identity)
	if err != nil {
		return nil, err
	}
	if o.Reprint != nil && !exists(o.Register) {
		return nil, noRegister(o.Register)
	}
	found, told := make(chan error, 1), false
	err = e.behind(func(reg *register.Register) error {
		rest, err := beginEntry(ctx, r, reg, e, o)
		if err == nil {
			err = e.agrees(reg, j)
		}
		found <- err
		told = true
		if err == nil && rest != nil {
			err = rest()
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	select {
	case err = <-found:
	case err = <-e.errand.done: // the register can't be opened, or all is done
		e.errand.done <- err
		if told && err == nil {
			err = <-found
		}
	}
	if err != nil {
		e.wait()
	}
	return e, err
}

// beginEntry enters that a run is begun, or finds that it was, and gives what is left to
// be entered, if anything is.
func beginEntry(ctx context.Context, r *Run, reg *register.Register, e *entered, o Output) (rest func() error, err error) {
	if o.Reprint != nil {
		return nil, enterReprint(reg, e, o)
	}
	runs, err := reg.Runs()
	if err != nil {
		return nil, err
	}
	for _, had := range runs {
		if had.File == e.run.File && had.Identity == e.run.Identity && had.Issued {
			e.run = had
			return nil, nil
		}
	}
	if err := untaken(ctx, r, reg, e, runs); err != nil {
		return nil, err
	}
	if e.run, err = reg.Enter(e.run, ""); err != nil {
		return nil, err
	}
	return func() error { return issueCodes(ctx, r, reg, e) }, nil
}

// issueCodes enters all codes and all values of a run.
func issueCodes(ctx context.Context, r *Run, reg *register.Register, e *entered) error {
	if len(r.code.parts) > 0 {
		err := codeHashes(ctx, r, func(list []register.Code) error { return reg.Issue(e.run.ID, list) })
		if err != nil {
			return err
		}
		r.Close() // the register has them now
		r.codes = nil
	}
	if err := keepValues(ctx, r, reg, e.run.ID); err != nil {
		return err
	}
	return reg.Finish(&e.run)
}
