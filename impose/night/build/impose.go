package build

import (
	"context"
	"encoding/json"
	"fmt"
	"image"
	"io"
	"slices"
	"strings"

	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/miniature"
	"quoin/impose/night/folder"
	"quoin/impose/night/plan"
	"quoin/impose/say"
	"quoin/impose/sheet"
	"quoin/impose/summary"
)

// Piece is a run as it can be made anywhere: all that its files depend on.
type Piece struct {
	Name    string // of the run, and what its files' names begin with
	Job     *job.Job
	Remarks []string // on each order, for the sheet
	Paper   sheet.Paper
	NoProof bool
	Mixed   bool // stations are laid to be sorted later, so lanes have no order to change
	// NameOf, when set, names an artwork as the run's files do; Lies returns where
	// the content lies of what is named so, where that is not in its place.
	NameOf, Lies func(path string) string
	Look
}

// Look draws labels for the sheets, measures their ink, looks at their plates and
// finds those that look alike; what is nil is left out.
type Look struct {
	Pictures func(context.Context, *impose.Imposition) ([]image.Image, error)
	Ink      impose.InkMeter
	Plates   impose.PlateLooker
	Alike    *alike.Finder
	// Passes, when set, reports whether an error in comparing labels ends the piece,
	// so that another may make it. Else it is said that they were not compared.
	Passes func(error) bool
}

// Names returns the names of the files that are always made: PDF, job sheet,
// summary. Pictures of labels that look alike come before them, as AlikeName names
// them, and where labels are drawn, LabelsName between them.
func (p *Piece) Names() []string { return []string{p.pdf(), p.sheet(), p.summary()} }

func (p *Piece) pdf() string     { return p.Name + ".pdf" }
func (p *Piece) sheet() string   { return p.Name + "-sheet.pdf" }
func (p *Piece) summary() string { return p.Name + ".json" }

// Write makes a file with what fill writes, which checks may look at before it
// counts, and returns its SHA-256.
type Write func(name string, fill func(io.Writer) error, checks ...func(path string) error) (sum string, err error)

// Make writes a run's files: the PDF first, the summary, which names the others,
// last.
func (p *Piece) Make(ctx context.Context, to Write) error {
	im, pairs, err := p.open(ctx)
	written := impose.Written{Pages: 1, Name: p.NameOf}
	if im != nil && err != nil && ctx.Err() == nil && (p.Passes == nil || !p.Passes(err)) { // only its looks could not be compared
		written.Warnings, err = []say.Note{alike.Failed(err)}, nil
	}
	if im != nil {
		defer im.Close()
	}
	if err != nil {
		return err
	}
	if p.Ink != nil {
		if written.Ink, err = im.InkOnFrame(ctx, p.Ink); err != nil {
			return err
		}
	}
	if p.Plates != nil && impose.WantsPlates(im) {
		found, err := impose.LookAtPlates(ctx, im, p.Plates)
		if err != nil {
			return err
		}
		written.Plates = byProduct(found, &written)
	}
	var checks []func(string) error
	if !p.NoProof {
		checks = append(checks, func(path string) error { return p.proveNew(ctx, im, written, path) })
	}
	write := func(role, name string, fill func(io.Writer) error, checks ...func(string) error) error {
		sum, err := to(name, fill, checks...)
		written.Files = append(written.Files, summary.File{Role: role, Path: name, SHA256: sum})
		return err
	}
	if len(pairs) > 0 {
		alike, err := p.warn(pairs, write)
		if err != nil {
			return err
		}
		written.Warnings = append(written.Warnings, alike...)
	}
	if err := write("output", p.pdf(), func(w io.Writer) error { return im.WritePDF(ctx, w) }, checks...); err != nil {
		return err
	}
	written.Proved = !p.NoProof
	s, err := im.Summary(written)
	if err != nil {
		return err
	}
	c := sheet.From(im, s)
	c.Remarks = append(c.Remarks, p.Remarks...)
	if p.Pictures != nil {
		if c.Pictures, err = p.Pictures(ctx, im); err != nil {
			return err
		}
		if _, err := to(LabelsName(p.Name), func(w io.Writer) error { return miniature.JPEG(w, miniature.Strip(c.Pictures)) }); err != nil {
			return err
		}
	}
	err = write("job sheet", p.sheet(), func(w io.Writer) error {
		_, err := sheet.Write(w, c, p.Paper)
		return err
	})
	if err != nil {
		return err
	}
	if s, err = im.Summary(written); err != nil {
		return err
	}
	_, err = to(p.summary(), func(w io.Writer) error { return say.JSON(w, s) })
	return err
}

// byProduct puts what is to be looked at on each artwork's plates among the
// warnings, by the product, so that the night's report knows whose order it is; what
// asks for nothing stays.
func byProduct(found [][]artwork.Finding, w *impose.Written) [][]artwork.Finding {
	left := make([][]artwork.Finding, len(found))
	for i, list := range found {
		for _, f := range list {
			if f.Level == artwork.Notice {
				left[i] = append(left[i], f)
				continue
			}
			w.Warnings = append(w.Warnings, say.Note{Code: f.Code, Text: fmt.Sprintf("product %d: %s", i+1, f.Text)})
		}
	}
	return left
}

// piece returns a run of the night as it can be made anywhere.
func (b *builder) piece(run *plan.Run) *Piece {
	p := &Piece{
		Name: run.Name, Job: b.plan.Job(run), Remarks: remarks(run), Paper: b.rules.Paper, NoProof: b.rules.NoProof, Mixed: b.rules.Mixed, NameOf: b.rules.NameOf,
		Look: Look{Pictures: b.rules.Pictures, Ink: b.rules.Ink, Plates: b.rules.Plates, Alike: b.alike},
	}
	if b.rules.NoAlike {
		p.Alike = nil
	}
	return p
}

// remarks returns what is known of a run's orders.
func remarks(run *plan.Run) []string {
	var list []string
	for _, share := range run.Orders {
		remarks := share.Remarks()
		if share.Due != "" {
			remarks = slices.Insert(remarks, 0, "due "+share.Due)
		}
		list = append(list, strings.Join(remarks, "; "))
	}
	return list
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
		Warnings []say.Note
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
