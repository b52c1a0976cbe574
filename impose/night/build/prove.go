package build

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"runtime"

	"golang.org/x/sync/errgroup"

	"quoin/impose"
	"quoin/impose/night/folder"
	"quoin/impose/night/plan"
	"quoin/impose/say"
	"quoin/impose/verify"
)

// Prove verifies the runs of a night that is built already, each against its
// summary in the folder. The error is of the first that is not as planned.
func Prove(ctx context.Context, f *folder.Folder, p *plan.Plan) error {
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	failed := make([]error, len(p.Runs))
	for i := range p.Runs {
		g.Go(func() error {
			failed[i] = proveFinished(ctx, f, &p.Runs[i])
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
func proveFinished(ctx context.Context, f *folder.Folder, run *plan.Run) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	summary, err := f.Open(summaryOf(run))
	if err != nil {
		return err
	}
	defer summary.Close()
	return prove(ctx, summary, f.Path(pdfOf(run)), verify.Options{Name: pdfOf(run)})
}

// proveNew verifies a PDF that is about to appear.
func (p *Piece) proveNew(ctx context.Context, im *impose.Imposition, written impose.Written, path string) error {
	s, err := im.Summary(written)
	if err != nil {
		return err
	}
	var text bytes.Buffer
	if err := say.JSON(&text, s); err != nil {
		return err
	}
	return prove(ctx, &text, path, verify.Options{Name: p.pdf(), Lies: p.Lies})
}

// prove verifies a PDF against what a summary says in JSON.
func prove(ctx context.Context, summary io.Reader, path string, opt verify.Options) error {
	planned, err := verify.ParsePlan(opt.Name, summary)
	if err != nil {
		return err
	}
	opt.Summary = path
	result, err := verify.File(ctx, path, planned, opt)
	if err != nil || result.Same {
		return err
	}
	first := result.Differences[0]
	return fmt.Errorf("%s is not as planned, in %s: %s: %s", opt.Name, say.Count(len(result.Differences), "place"), first.Code, first.Text)
}
