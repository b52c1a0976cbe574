package build

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/night/folder"
	"quoin/impose/night/plan"
	"quoin/impose/say"
	"quoin/impose/sheet"
	"quoin/impose/summary"
)

// impose writes a run's files: the PDF first, the summary, which names the
// others, last.
func (b *builder) impose(ctx context.Context, run *plan.Run) error {
	im, pairs, err := b.open(ctx, run)
	written := impose.Written{Pages: 1, Name: b.rules.Seen}
	if im != nil && err != nil && ctx.Err() == nil { // only its looks could not be compared
		written.Warnings, err = []summary.Note{alike.Failed(err)}, nil
	}
	if im != nil {
		defer im.Close()
	}
	if err != nil {
		return err
	}
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
	if len(pairs) > 0 {
		if written.Warnings, err = b.warn(run, pairs, write); err != nil {
			return err
		}
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

// readBack takes over what a run's summary says of it: its warnings, and the order
// of its lanes.
func readBack(f *folder.Folder, run *plan.Run) error {
	file, err := f.Open(summaryOf(run))
	if err != nil {
		return err
	}
	defer file.Close()
	var s struct {
		Warnings []summary.Note
		Artworks []struct{ Product string }
	}
	if err := json.NewDecoder(file).Decode(&s); err != nil {
		return fmt.Errorf("reading %s again: %w", summaryOf(run), err)
	}
	var products []string
	for _, a := range s.Artworks {
		products = append(products, a.Product)
	}
	run.Warnings = s.Warnings
	reordered(run, products)
	return nil
}
