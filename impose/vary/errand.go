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

// enter enters the run in the register. It returns when the run is found to be one
// that may be printed; codes and values, which take longer, follow behind.
func (en entries) enter(ctx context.Context, o Output, identity string, j *journal) (*entered, error) {
	e, err := en.entry(o, identity)
	if err != nil {
		return nil, err
	}
	if o.Reprint != nil && !exists(o.Register) {
		return nil, noRegister(o.Register)
	}
	found, told := make(chan error, 1), false
	err = e.behind(func(reg *register.Register) error {
		rest, err := en.begin(ctx, reg, e, o)
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

// begin enters that a run is begun, or finds that it was, and gives what is left to
// be entered, if anything is.
func (en entries) begin(ctx context.Context, reg *register.Register, e *entered, o Output) (rest func() error, err error) {
	if o.Reprint != nil {
		return nil, en.enterReprint(reg, e, o)
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
	if err := en.untaken(ctx, reg, e, runs); err != nil {
		return nil, err
	}
	if e.run, err = reg.Enter(e.run, ""); err != nil {
		return nil, err
	}
	return func() error { return en.issue(ctx, reg, e) }, nil
}

// issue enters all codes and all values of a run.
func (en entries) issue(ctx context.Context, reg *register.Register, e *entered) error {
	r := en.run
	if len(r.code.parts) > 0 {
		err := codeBook{r}.hashes(ctx, func(list []register.Code) error { return reg.Issue(e.run.ID, list) })
		if err != nil {
			return err
		}
		r.Close() // the register has them now
		r.codes = nil
	}
	if err := en.keepValues(ctx, reg, e.run.ID); err != nil {
		return err
	}
	return reg.Finish(&e.run)
}
