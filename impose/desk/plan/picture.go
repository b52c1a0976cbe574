package plan

import (
	"bytes"
	"context"

	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/summary"
)

// PagePDF returns the PDF page that a picture of the text's frame is drawn from and
// its resolution; white says that it is the white beneath. It is empty where the
// text has no such picture.
func (b *Bench) PagePDF(ctx context.Context, text []byte, id string) (pdf []byte, dpi int, white bool, err error) {
	err = b.With(ctx, text, func(im *impose.Imposition, _ *alike.Found, _ *summary.Summary) error {
		frame, err := drawFrame(b.folder, im)
		if err != nil {
			return err
		}
		for _, p := range frame.Pictures {
			var out bytes.Buffer
			switch id {
			case p.ID:
				err = im.Pictures().LabelWith(ctx, &out, p.art, p.bleed)
			case p.White:
				white = true
				err = im.Pictures().LabelWhiteWith(ctx, &out, p.art, p.bleed)
			default:
				continue
			}
			pdf, dpi = out.Bytes(), p.dpi(im.LabelSize(p.art))
			return err
		}
		return nil
	})
	return pdf, dpi, white, err
}
