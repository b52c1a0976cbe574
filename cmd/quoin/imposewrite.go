package main

import (
	"bufio"
	"context"
	"fmt"
	"io"

	"quoin/impose/prove"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/verify"
	"quoin/impose/wholefile"
)

// files writes every file that was asked for, and gives back what there is to
// say of them.
func (f *imposeFlags) files(ctx context.Context, io streams, im *imposed, say func(string)) ([]string, error) {
	if !f.noAlike {
		var err error
		if im.written.Warnings, err = lookAlikes(im, f.pictures.alike); err != nil {
			return nil, err
		}
	}
	if !f.plan {
		say("writing " + f.out)
		if err := f.write(ctx, io, im); err != nil {
			return nil, err
		}
	}
	if err := f.cuts.write(im); err != nil {
		return nil, err
	}
	if err := f.pictures.write(ctx, im, say); err != nil {
		return nil, err
	}
	notes, err := f.sheet.write(ctx, im, say)
	if err != nil {
		return nil, err
	}
	if err := f.ticket.write(im); err != nil {
		return nil, err
	}
	return notes, f.targets.write(im)
}

// outputs lists every file that was asked for.
func (f *imposeFlags) outputs() []string {
	list := []string{f.summary, f.cuts.dxf, f.cuts.svg, f.pictures.proof, f.pictures.layout, f.pictures.alike, f.sheet.path, f.ticket.ticket, f.ticket.lanes}
	if !f.plan {
		list = append(list, f.out)
	}
	if f.again != nil {
		list = append(list, f.again.picture)
	}
	return list
}

// write makes the PDF appear, whole, and the summary beside it.
func (f *imposeFlags) write(ctx context.Context, to streams, im *imposed) error {
	if f.out == "-" {
		w := bufio.NewWriterSize(to.out, 1<<18)
		if err := im.writePDF(ctx, w); err != nil {
			return err
		}
		return w.Flush()
	}
	var checks []func(string) error
	if !f.noVerify {
		prove, err := f.proof(ctx, im)
		if err != nil {
			return err
		}
		checks = append(checks, prove)
	}
	sum, err := wholefile.Write(im.place(f.out), wholefile.Options{Inputs: im.frame.Inputs()}, func(w io.Writer) error { return im.writePDF(ctx, w) }, checks...)
	if err == nil {
		im.written.Proved = !f.noVerify
		im.wrote("output", f.out, sum.SHA256)
	}
	return err
}

// proof returns what verifies the file that is about to be written and to appear. Its
// summary is read while the file is written.
func (f *imposeFlags) proof(ctx context.Context, im *imposed) (check func(working string) error, err error) {
	coming := *im
	coming.written.Pages = 1
	s, err := coming.summary()
	if err != nil {
		return nil, err
	}
	holds := prove.Expect(s, verify.Options{Name: f.out, Password: im.frame.Job.PasswordOf, Lies: im.frame.Job.Content})
	return func(working string) error { return holds(ctx, working) }, nil
}

// summarised returns the summary, and writes it where it was asked for.
func (f *imposeFlags) summarised(im *imposed) (*summary.Summary, error) {
	s, err := im.summary()
	if err == nil && f.summary != "" {
		_, err = writeFile(im.place(f.summary), im.frame.Inputs(), func(w io.Writer) error { return say.JSON(w, s) })
	}
	return s, err
}

// report prints the summary and the warnings.
func (f *imposeFlags) report(to streams, im *imposed) error {
	s, err := f.summarised(im)
	if err != nil {
		return err
	}
	words := to.out
	if f.out == "-" {
		words = to.err
	}
	switch {
	case f.json:
		err = say.JSON(to.out, s)
	case !to.quiet:
		err = s.Text(words)
	}
	if err != nil {
		return fmt.Errorf("printing the summary: %w", err)
	}
	to.warnings(s.Warnings)
	for _, n := range s.Notes {
		if f.json || !summary.InText(n.Code) {
			to.note("%s", n.Text)
		}
	}
	return strictly(f.strict, len(s.Warnings))
}
