// Package prove is the proof of whatever is written, before it appears and
// afterwards: a file is held against its summary by impose/verify, and against
// the list of what a press-ready file must be by impose/conform where it is said
// to be one; a run of variable data is held against its register by
// impose/verify/labels.
package prove

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"sync"

	"quoin/impose/conform"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/verify"
	"quoin/impose/verify/labels"
)

// Proof is all that is found out about a written file.
type Proof struct {
	*verify.Result
	Ready *conform.Report  `json:"press_ready"`
	wrong []conform.Breach // that break what the summary or the file claims
}

// File proves the file at path against its plan. An error means that it could
// not be looked at; what is wrong with it is in the Proof.
func File(ctx context.Context, path string, plan *verify.Expected, opt verify.Options) (*Proof, error) {
	return prove(ctx, path, plan, opt, conform.File)
}

// Holds proves the file at path as File does, without a list of what would keep it
// from claiming what nobody claims for it. A file that is not as planned is an *Error.
func Holds(ctx context.Context, path string, plan *verify.Expected, opt verify.Options) error {
	p, err := prove(ctx, path, plan, opt, func(ctx context.Context, path string) (*conform.Report, error) {
		return conform.Claim(ctx, path, plan.Marker())
	})
	if err != nil {
		return err
	}
	return p.Failure()
}

func prove(ctx context.Context, path string, plan *verify.Expected, opt verify.Options, check func(context.Context, string) (*conform.Report, error)) (*Proof, error) {
	// Each reads the file for itself, so neither waits for the other.
	p := &Proof{}
	var unread, unchecked error
	var g sync.WaitGroup
	g.Go(func() { p.Result, unread = verify.File(ctx, path, plan, opt) })
	g.Go(func() { p.Ready, unchecked = check(ctx, path) })
	g.Wait()
	if unchecked != nil { // whoever reads artworks would say to export it again
		unchecked = &say.Refusal{Kind: say.KindOf(unchecked), Err: unchecked, Way: "impose again; the file is damaged, or was cut short"}
	}
	if err := cmp.Or(unread, unchecked); err != nil {
		return nil, err
	}
	p.wrong = p.Ready.Against(plan.Marker())
	return p, nil
}

// Written proves the file at path, which is about to appear under the name of
// opt, against what its summary will say: through its JSON, as a stranger reads
// it. A file that is not as planned is an *Error.
func Written(ctx context.Context, path string, s *summary.Summary, opt verify.Options) error {
	return Expect(s, opt)(ctx, path)
}

// Expect reads what a summary says, and hashes its artworks, beside whatever is done
// next, such as writing the file, and returns what then proves the file as Written does.
// Nobody may change the summary until that has returned.
func Expect(s *summary.Summary, opt verify.Options) (holds func(ctx context.Context, path string) error) {
	plan := sync.OnceValues(func() (*verify.Expected, error) {
		text, err := json.Marshal(s)
		if err != nil {
			return nil, err
		}
		plan, err := verify.ParseOwn("the summary", bytes.NewReader(text))
		if err == nil {
			opt = verify.Early(plan, opt)
		}
		return plan, err
	})
	go plan()
	return func(ctx context.Context, path string) error {
		plan, err := plan()
		if err != nil {
			return err
		}
		return Holds(ctx, path, plan, opt)
	}
}

// Failure returns an *Error with all that is wrong, or nil.
func (p *Proof) Failure() error {
	e := &Error{File: p.File}
	for _, d := range p.Differences {
		e.Wrong = append(e.Wrong, "differs: "+d.Code+": "+d.Text)
	}
	for _, b := range p.wrong {
		e.Wrong = append(e.Wrong, "breaks "+b.Rule+" of PDF/X-4, which it is said to be: "+b.Text)
	}
	return e.orNil()
}

// Failure returns an *Error with all that is wrong with a run, or nil.
func Failure(r *labels.Report, name string) error {
	e := &Error{File: name}
	for _, d := range r.Differences {
		e.Wrong = append(e.Wrong, d.Code+": "+d.Text)
	}
	return e.orNil()
}

// Error says that a file is not as planned.
type Error struct {
	File  string
	Wrong []string // what, each with its code
}

func (e *Error) orNil() error {
	if len(e.Wrong) == 0 {
		return nil
	}
	return e
}

func (e *Error) Error() string {
	return fmt.Sprintf("%s is not as planned: %s wrong", e.File, say.CountOf(len(e.Wrong), "thing is", "things are"))
}

// Hint returns the way out.
func (e *Error) Hint() string { return "don't print it; impose again and verify" }
