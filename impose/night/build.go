package night

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"quoin/impose"
	"quoin/impose/night/folder"
	"quoin/impose/say"
	"quoin/impose/sheet"
	"quoin/impose/summary"
	"quoin/impose/verify"
)

// Build imposes every run into the folder, on all cores: a PDF, its job sheet
// and its summary each. What an earlier start finished is kept. Runs that can't be imposed lose
// their orders to Unplanned and stop no other; errors are those of the disk and
// of a cancelled context.
func (p *Plan) Build(ctx context.Context, f *folder.Folder) error {
	failed := make([]error, len(p.Runs))
	var done atomic.Int64
	var g errgroup.Group
	g.SetLimit(2 * runtime.GOMAXPROCS(0)) // half of them wait for the disk
	for i := range p.Runs {
		g.Go(func() error {
			failed[i] = p.build(ctx, f, &p.Runs[i])
			if fatal(ctx, failed[i]) {
				return failed[i]
			}
			p.rules.tell("runs written", int(done.Add(1)), len(p.Runs))
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return err
	}
	p.drop(failed)
	return nil
}

// fatal reports whether an error ends the night and not only its run.
func fatal(ctx context.Context, err error) bool {
	return say.KindOf(err) == say.Disk || ctx.Err() != nil
}

// build imposes one run.
func (p *Plan) build(ctx context.Context, f *folder.Folder, run *Run) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	files := run.files()
	whole := !slices.ContainsFunc(files, func(file summary.File) bool { return f.Sum(file.Path) == "" })
	if whole && p.rules.Verify {
		whole = run.prove(ctx, f) == nil // an earlier start may not have looked
	}
	if !whole {
		if err := p.impose(ctx, f, run); err != nil {
			return err
		}
	}
	// Read back, so that a run that was kept says the same as one that was made.
	var err error
	if run.Warnings, err = warnings(f, run.summary()); err != nil {
		return err
	}
	for _, file := range files {
		file.SHA256 = f.Sum(file.Path)
		run.Files = append(run.Files, file)
	}
	return nil
}

// files names what is made of a run.
func (r *Run) files() []summary.File {
	return []summary.File{
		{Role: "pdf", Path: r.pdf()}, {Role: "job sheet", Path: r.sheet()}, {Role: "summary", Path: r.summary()},
	}
}

func (r *Run) pdf() string     { return r.Name + ".pdf" }
func (r *Run) sheet() string   { return r.Name + "-sheet.pdf" }
func (r *Run) summary() string { return r.Name + ".json" }

// warnings gives those of a run's summary.
func warnings(f *folder.Folder, name string) ([]summary.Note, error) {
	file, err := f.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	var s struct{ Warnings []summary.Note }
	if err := json.NewDecoder(file).Decode(&s); err != nil {
		return nil, fmt.Errorf("reading %s again: %w", name, err)
	}
	return s.Warnings, nil
}

// impose writes a run's files: the PDF first, the summary, which names the
// others, last.
func (p *Plan) impose(ctx context.Context, f *folder.Folder, run *Run) error {
	j := p.Job(run)
	if err := j.Validate(); err != nil {
		return err
	}
	im, err := impose.Open(ctx, j)
	if err != nil {
		return err
	}
	defer im.Close()
	written := impose.Written{Pages: 1, Name: p.rules.Seen}
	var checks []func(string) error
	if p.rules.Verify {
		checks = append(checks, func(path string) error { return prove(ctx, im, written, path, run.pdf()) })
	}
	write := func(role, name string, fill func(io.Writer) error, checks ...func(string) error) error {
		sum, err := f.Write(name, fill, checks...)
		written.Files = append(written.Files, summary.File{Role: role, Path: name, SHA256: sum})
		return err
	}
	if err := write("output", run.pdf(), func(w io.Writer) error { return im.WritePDF(ctx, w) }, checks...); err != nil {
		return err
	}
	s, err := im.Summary(written)
	if err != nil {
		return err
	}
	err = write("job sheet", run.sheet(), func(w io.Writer) error {
		_, err := sheet.Write(w, p.content(run, im, s), p.rules.Paper)
		return err
	})
	if err != nil {
		return err
	}
	if s, err = im.Summary(written); err != nil {
		return err
	}
	_, err = f.Write(run.summary(), func(w io.Writer) error { return WriteJSON(w, s) })
	return err
}

// prove verifies a run's PDF against its summary.
func prove(ctx context.Context, im *impose.Imposition, written impose.Written, path, name string) error {
	summary, err := im.Summary(written)
	if err != nil {
		return err
	}
	var text bytes.Buffer
	if err := WriteJSON(&text, summary); err != nil {
		return err
	}
	return proveBy(ctx, &text, path, name)
}

// Prove verifies the runs of a night that is built already, each against its
// summary in the folder. The error is of the first that is not as planned.
func (p *Plan) Prove(ctx context.Context, f *folder.Folder) error {
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	failed := make([]error, len(p.Runs))
	for i := range p.Runs {
		g.Go(func() error {
			failed[i] = p.Runs[i].prove(ctx, f)
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

// prove verifies a run's finished PDF against its finished summary.
func (r *Run) prove(ctx context.Context, f *folder.Folder) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	summary, err := f.Open(r.summary())
	if err != nil {
		return err
	}
	defer summary.Close()
	return proveBy(ctx, summary, f.Path(r.pdf()), r.pdf())
}

// proveBy verifies a PDF against what a summary says in JSON.
func proveBy(ctx context.Context, summary io.Reader, path, name string) error {
	plan, err := verify.ParsePlan(name, summary)
	if err != nil {
		return err
	}
	result, err := verify.File(ctx, path, plan, verify.Options{Name: name, Summary: path})
	if err != nil || result.Same {
		return err
	}
	first := result.Differences[0]
	return fmt.Errorf("%s is not as planned, in %s: %s: %s", name, say.Count(len(result.Differences), "place"), first.Code, first.Text)
}

// drop takes the runs that failed out of the plan.
func (p *Plan) drop(failed []error) {
	kept := p.Runs[:0:0]
	printed := map[*order][]string{} // runs that are kept
	for i, run := range p.Runs {
		if failed[i] == nil {
			kept = append(kept, run)
			for _, s := range run.Orders {
				printed[s.order] = append(printed[s.order], run.Name)
			}
		}
	}
	for i, run := range p.Runs {
		if failed[i] == nil {
			continue
		}
		why := refuse(codeOf(failed[i]), failed[i])
		for _, s := range run.Orders {
			why.text = asOrdered(why.text, s.order.Order)
		}
		for _, s := range run.Orders {
			text := run.Name + ": " + why.text
			if others := printed[s.order]; len(others) > 0 {
				text += "; only a part of the order is printed, in " + strings.Join(others, ", ")
			}
			p.Unplanned = append(p.Unplanned, Note{s.Order, why.code, text})
		}
	}
	p.Runs = kept
	p.Total = Total{}
	p.Bound, p.Alone = Bound{}, Alone{}
	p.share()
	p.sum()
}

// WriteJSON writes any result the way all of quoin does.
func WriteJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}
