package main

import (
	"context"
	"io"

	"github.com/spf13/pflag"

	"quoin/impose/miniature"
	"quoin/impose/sheet"
	"quoin/impose/ticket"
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

// ticketFlags ask for what the next department reads.
type ticketFlags struct {
	ticket, lanes string
}

func (f *ticketFlags) add(fs *pflag.FlagSet) {
	fileVar(fs, &f.ticket, "ticket", []string{".json"}, "write the finishing ticket to this `FILE`.json")
	fileVar(fs, &f.lanes, "lanes-csv", []string{".csv"}, "write the list of lanes to this `FILE`.csv")
}

func (f *ticketFlags) write(im *imposed) error {
	if f.ticket == "" && f.lanes == "" {
		return nil
	}
	summary, err := im.summary()
	if err != nil {
		return err
	}
	t := ticket.From(im.frame.Job, summary)
	return writeAsked([]part{{"ticket", f.ticket, t.Write}, {"lanes", f.lanes, t.WriteLanes}}, im.writePart)
}

// cuttingFiles ask for the contours of the cut as drawings of their own, for
// the die maker, the laser and the finishing line.
type cuttingFiles struct{ dxf, svg string }

func (f *cuttingFiles) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.dxf, "cutting-dxf", "", "write the contours of the cut as a DXF R12 `file` in mm")
	fs.StringVar(&f.svg, "cutting-svg", "", "write the contours of the cut as an SVG `file` in mm")
}

func (f *cuttingFiles) write(im *imposed) error {
	return writeAsked([]part{{"cut DXF", f.dxf, im.frame.WriteCuttingDXF}, {"cut SVG", f.svg, im.frame.WriteCuttingSVG}}, im.writePart)
}
