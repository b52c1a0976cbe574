// Package build makes a planned night: a folder with a PDF, a job sheet and a
// summary for every run, and the reports.
package build

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"quoin/impose/alike"
	"quoin/impose/night"
	"quoin/impose/night/folder"
	"quoin/impose/night/plan"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// builder builds the runs of one night.
type builder struct {
	folder *folder.Folder
	plan   *plan.Plan
	rules  *night.Rules
	hands  Hands
	alike  *alike.Finder
	prover *prover
}

// Hands make runs elsewhere. Make hands a piece over, waits for its files and
// writes what comes back, whose sums it has proved; it may be called for many
// pieces at once. An error of the piece itself is one as Piece.Make gives, of the
// same kind and text.
type Hands interface {
	Make(ctx context.Context, p *Piece, to Write) error
}

// handedAtOnce is how many runs wait for hands at a time.
const handedAtOnce = 4096

// Runs imposes every run into the folder, on all cores: a PDF, its job sheet
// and its summary each. What an earlier start finished is kept. Runs that can't
// be imposed lose their orders to Unplanned and stop no other; errors are those
// of the disk and of a cancelled context. Hands make the pieces; nil for this
// process.
func Runs(ctx context.Context, f *folder.Folder, p *plan.Plan, r *night.Rules, hands Hands) error {
	b := &builder{f, p, r, hands, alike.New(), newProver(f, r)}
	defer b.alike.Close()
	defer b.prover.close()
	failed := make([]error, len(p.Runs))
	var done atomic.Int64
	var g errgroup.Group
	g.SetLimit(2 * runtime.GOMAXPROCS(0)) // half of them wait for the disk
	if hands != nil {
		g.SetLimit(handedAtOnce)
	}
	for i := range p.Runs {
		g.Go(func() error {
			failed[i] = b.run(ctx, &p.Runs[i])
			if kind := say.KindOf(failed[i]); kind == say.Disk || kind == say.Away || ctx.Err() != nil {
				return failed[i] // it ends the night and not only its run
			}
			r.Progress("runs written", int(done.Add(1)), len(p.Runs))
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return err
	}
	p.Drop(failed)
	return nil
}

// run makes the files of one run, unless they are there.
func (b *builder) run(ctx context.Context, run *plan.Run) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	files := files(run)
	whole := !slices.ContainsFunc(files, func(file summary.File) bool { return b.folder.Sum(file.Path) == "" })
	if whole && b.rules.Verify {
		_, err := b.prover.bytes(ctx, run, b.plan.Job(run).PasswordOf)
		whole = err == nil // an earlier start may not have looked
	}
	if !whole {
		if err := b.make(ctx, run); err != nil {
			return err
		}
	}
	if !b.rules.NoProof {
		run.Proof = &plan.Proof{Bytes: true}
		if err := b.prover.plates(ctx, run, b.plan.Job(run).PasswordOf); err != nil {
			return errors.Join(err, b.remove(files))
		}
	}
	// Read back, so that a run that was kept says the same as one that was made.
	if err := readBack(b.folder, run); err != nil {
		return err
	}
	if labels := LabelsName(run.Name); b.folder.Sum(labels) != "" {
		files = append(files, summary.File{Role: "labels", Path: labels})
	}
	for i := 0; b.folder.Sum(AlikeName(run.Name, i)) != ""; i++ {
		files = append(files, summary.File{Role: "look-alikes", Path: AlikeName(run.Name, i)})
	}
	for _, file := range files {
		file.SHA256 = b.folder.Sum(file.Path)
		run.Files = append(run.Files, file)
	}
	return nil
}

// remove takes the files of a run away that isn't what it should be.
func (b *builder) remove(files []summary.File) error {
	for _, file := range files {
		if err := b.folder.Remove(file.Path); err != nil {
			return err
		}
	}
	return nil
}

// make makes a run's files, here or elsewhere.
func (b *builder) make(ctx context.Context, run *plan.Run) error {
	if b.hands != nil {
		return b.hands.Make(ctx, b.piece(run), b.folder.Write)
	}
	return b.piece(run).Make(ctx, b.folder.Write)
}

// files names what is made of a run.
func files(run *plan.Run) []summary.File {
	return []summary.File{
		{Role: "pdf", Path: pdfOf(run)}, {Role: "job sheet", Path: sheetOf(run)}, {Role: "summary", Path: summaryOf(run)},
	}
}

func pdfOf(run *plan.Run) string     { return run.Name + ".pdf" }
func sheetOf(run *plan.Run) string   { return run.Name + "-sheet.pdf" }
func summaryOf(run *plan.Run) string { return run.Name + ".json" }
