package build

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"quoin/impose"
	"quoin/impose/night/folder"
	"quoin/impose/night/plan"
	"quoin/impose/say"
	"quoin/impose/sheet"
	"quoin/impose/summary"
)

// impose writes a run's files: the PDF first, the summary, which names the
// others, last.
func (b *builder) impose(ctx context.Context, run *plan.Run) error {
	j := b.plan.Job(run)
	if err := j.Validate(); err != nil {
		return err
	}
	im, err := impose.Open(ctx, j)
	if err != nil {
		return err
	}
	defer im.Close()
	written := impose.Written{Pages: 1, Name: b.rules.Seen}
	if b.rules.Ink != nil {
		if written.Ink, err = im.InkOnFrame(ctx, b.rules.Ink); err != nil {
			return err
		}
	}
	var checks []func(string) error
	if !b.rules.NoProof {
		checks = append(checks, func(path string) error { return proveNew(ctx, im, written, path, pdfOf(run)) })
	}
	write := func(role, name string, fill func(io.Writer) error, checks ...func(string) error) error {
		sum, err := b.folder.Write(name, fill, checks...)
		written.Files = append(written.Files, summary.File{Role: role, Path: name, SHA256: sum})
		return err
	}
	if err := write("output", pdfOf(run), func(w io.Writer) error { return im.WritePDF(ctx, w) }, checks...); err != nil {
		return err
	}
	written.Proved = !b.rules.NoProof
	s, err := im.Summary(written)
	if err != nil {
		return err
	}
	c := content(run, im, s)
	if b.rules.Pictures != nil {
		if c.Pictures, err = b.rules.Pictures(ctx, im); err != nil {
			return err
		}
	}
	err = write("job sheet", sheetOf(run), func(w io.Writer) error {
		_, err := sheet.Write(w, c, b.rules.Paper)
		return err
	})
	if err != nil {
		return err
	}
	if s, err = im.Summary(written); err != nil {
		return err
	}
	_, err = b.folder.Write(summaryOf(run), func(w io.Writer) error { return say.JSON(w, s) })
	return err
}

// content returns what a run's sheet says: that of its imposing, and what is
// known of its orders.
func content(run *plan.Run, im *impose.Imposition, s *summary.Summary) *sheet.Content {
	c := sheet.From(im, s)
	for _, share := range run.Orders {
		remarks := share.Remarks()
		if share.Due != "" {
			remarks = slices.Insert(remarks, 0, "due "+share.Due)
		}
		c.Remarks = append(c.Remarks, strings.Join(remarks, "; "))
	}
	return c
}

// warnings returns those of a run's summary.
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
