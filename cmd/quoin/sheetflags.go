package main

import (
	"context"
	"io"

	"github.com/spf13/pflag"

	"quoin/impose/miniature"
	"quoin/impose/sheet"
)

// sheetFlags ask for the job sheet beside the frame's PDF.
type sheetFlags struct {
	path, paper string
}

func (f *sheetFlags) add(fs *pflag.FlagSet) {
	fileVar(fs, &f.path, "sheet", []string{".pdf"}, "write the job sheet for the pressroom's wall to this `FILE`.pdf")
	choiceVar(fs, &f.paper, "paper", "`size` of the job sheet: a4 or letter", sheet.A4.Name, sheet.Letter.Name)
}

// write makes the sheet, and gives back what it could not set.
func (f *sheetFlags) write(ctx context.Context, im *imposed, say func(string)) (notes []string, err error) {
	if f.path == "" {
		return nil, nil
	}
	summary, err := im.summary()
	if err != nil {
		return nil, err
	}
	paper, err := sheet.ParsePaper(f.paper)
	if err != nil {
		return nil, err
	}
	painter := miniature.Painter{Say: say}
	defer painter.Close()
	content := sheet.From(im.frame, summary)
	if content.Pictures, err = painter.Labels(ctx, im.frame); err != nil {
		return nil, err
	}
	err = im.writePart(part{"job sheet", f.path, func(w io.Writer) (err error) {
		notes, err = sheet.Write(w, content, paper)
		return err
	}})
	return notes, err
}
