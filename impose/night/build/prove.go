package build

import (
	"context"
	"runtime"

	"golang.org/x/sync/errgroup"

	"quoin/impose"
	"quoin/impose/night"
	"quoin/impose/night/folder"
	"quoin/impose/night/plan"
	"quoin/impose/plate"
	"quoin/impose/prove"
	"quoin/impose/prove/pixels"
	"quoin/impose/verify"
)

// prover proves the finished runs of a night.
type prover struct {
	folder *folder.Folder
	pixels *pixels.Prover // nil: their plates aren't drawn
}

func newProver(f *folder.Folder, r *night.Rules) *prover {
	p := &prover{folder: f}
	if r.Pixels {
		p.pixels = &pixels.Prover{Say: func(string) {}, DPI: pixels.Coarse}
	}
	return p
}

// close ends the renderer.
func (v *prover) close() {
	if v.pixels != nil {
		v.pixels.Close()
	}
}

// Prove verifies the runs of a night that is built already, each against its
// summary in the folder; password opens the artworks by their names. The error is of the first that is not as planned.
func Prove(ctx context.Context, f *folder.Folder, p *plan.Plan, r *night.Rules, password func(artwork string) string) error {
	v := newProver(f, r)
	defer v.close()
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	failed := make([]error, len(p.Runs))
	for i := range p.Runs {
		g.Go(func() error {
			p.Runs[i].Proof, failed[i] = v.bytes(ctx, &p.Runs[i], password)
			if failed[i] == nil {
				failed[i] = v.plates(ctx, &p.Runs[i], password)
			}
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

// planned reads what a run's finished PDF is to be proved against.
func (v *prover) planned(ctx context.Context, run *plan.Run) (*verify.Expected, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	summary, err := v.folder.Open(summaryOf(run))
	if err != nil {
		return nil, err
	}
	defer summary.Close()
	return verify.ParseExpected(summaryOf(run), summary)
}

func (v *prover) options(run *plan.Run, password func(string) string) verify.Options {
	return verify.Options{Name: pdfOf(run), Summary: v.folder.Path(pdfOf(run)), Password: password}
}

// bytes verifies a run's finished PDF against its finished summary.
func (v *prover) bytes(ctx context.Context, run *plan.Run, password func(string) string) (*plan.Proof, error) {
	planned, err := v.planned(ctx, run)
	if err != nil {
		return nil, err
	}
	if err := prove.Holds(ctx, v.folder.Path(pdfOf(run)), planned, v.options(run, password)); err != nil {
		return nil, err
	}
	return &plan.Proof{Bytes: true}, nil
}

// plates draws a run that its bytes have proved, and compares its plates with those
// of its artworks, if that is wanted.
func (v *prover) plates(ctx context.Context, run *plan.Run, password func(string) string) error {
	if v.pixels == nil {
		return nil
	}
	planned, err := v.planned(ctx, run)
	if err != nil {
		return err
	}
	r, err := v.pixels.File(ctx, v.folder.Path(pdfOf(run)), planned, v.options(run, password))
	if err != nil {
		return err
	}
	if r.Differs() {
		return &prove.Error{File: pdfOf(run), Wrong: []string{pixels.Wrong(r)}}
	}
	run.Proof.Pixels = pixelProof(r)
	return nil
}

func pixelProof(r *plate.PixelReport) *plan.PixelProof {
	p := &plan.PixelProof{Stations: r.Stations, Distinct: r.Distinct, DPI: r.DPI, Worst: r.Worst}
	if r.WorstAt != nil {
		p.WorstAt = r.WorstAt.String()
	}
	return p
}

// proveNew verifies a PDF that is about to appear.
func (p *Piece) proveNew(ctx context.Context, im *impose.Imposition, written impose.Written, path string) error {
	s, err := im.Summary(written)
	if err != nil {
		return err
	}
	return prove.Written(ctx, path, s, verify.Options{Name: p.pdf(), Summary: path, Password: im.Job.PasswordOf, Lies: p.Lies})
}
