package build

import (
	"context"
	"runtime"

	"golang.org/x/sync/errgroup"

	"quoin/impose"
	"quoin/impose/night/folder"
	"quoin/impose/night/plan"
	"quoin/impose/prove"
	"quoin/impose/verify"
)

// Prove verifies the runs of a night that is built already, each against its
// summary in the folder; password opens the artworks by their names. The error is of the first that is not as planned.
func Prove(ctx context.Context, f *folder.Folder, p *plan.Plan, password func(artwork string) string) error {
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	failed := make([]error, len(p.Runs))
	for i := range p.Runs {
		g.Go(func() error {
			failed[i] = proveFinished(ctx, f, &p.Runs[i], password)
			return ctx.Err()
		})
	}
	if err := g.Wait(); err != nil {
		return err
	}
	for _, err := range failed {
		if err != nil {
			return err
		}
	}
	return nil
}

// proveFinished verifies a run's finished PDF against its finished summary.
func proveFinished(ctx context.Context, f *folder.Folder, run *plan.Run, password func(string) string) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	summary, err := f.Open(summaryOf(run))
	if err != nil {
		return err
	}
	defer summary.Close()
	planned, err := verify.ParsePlan(summaryOf(run), summary)
	if err != nil {
		return err
	}
	path := f.Path(pdfOf(run))
	proof, err := prove.File(ctx, path, planned, verify.Options{Name: pdfOf(run), Summary: path, Password: password})
	if err != nil {
		return err
	}
	return proof.Failure()
}

// proveNew verifies a PDF that is about to appear.
func (p *Piece) proveNew(ctx context.Context, im *impose.Imposition, written impose.Written, path string) error {
	s, err := im.Summary(written)
	if err != nil {
		return err
	}
	return prove.Written(ctx, path, s, verify.Options{Name: p.pdf(), Summary: path, Password: im.Job.PasswordOf, Lies: p.Lies})
}
