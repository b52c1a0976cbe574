package plate

import (
	"bytes"
	"context"
	"image"
	"math"

	"quoin/impose/artwork"
	"quoin/impose/raster"
)

// on reports whether the engine paints in a box on a plate.
func (d Drawn) on(ink string) bool { return d.Inks == nil || d.Inks[ink] }

// patches compares each patch. The frame without its labels was drawn for the
// twins; what has no whole pixel there is drawn by itself.
func (p *prover) patches(ctx context.Context, of Ink) error {
	var bare *image.Gray
	if w := p.twins; w != nil {
		g := w.st.set.Grid
		bare = &image.Gray{Pix: w.bare, Stride: g.Width, Rect: image.Rect(0, 0, g.Width, g.Height)}
	}
	var sheet *raster.Sheet
	for _, patch := range p.frame.Patches {
		w, h := patch.Box.Width(), patch.Box.Height()
		here := artwork.Rect{patch.Box[0] + w/4, patch.Box[1] + h/4, patch.Box[2] - w/4, patch.Box[3] - h/4} // the middle half
		size, got := p.within(bare, &here)
		if got == nil {
			if sheet == nil {
				var err error
				if sheet, err = p.sheet(ctx, of, artwork.Rect{}, true); err != nil { // no label at all
					return err
				}
				defer sheet.Close()
			}
			size = image.Pt(max(1, int(here.Width()*p.perPoint)), max(1, int(here.Height()*p.perPoint)))
			media := p.frame.Page.Boxes.Media
			var err error
			if got, err = sheet.GreyPart(ctx, size.X, size.Y, p.perPoint, here[0]-media[0], media[3]-here[3]); err != nil {
				return err
			}
		}
		want := bytes.Repeat([]byte{grey8(patch.Tints[of.Name] / 100)}, len(got))
		by, at := p.farthest(want, got, size, here, Station{}, "", true)
		p.note(by, &PixelSpot{Patch: patch.Number, Ink: of.Name}, here, at)
	}
	return nil
}

// within returns the pixels of a drawn frame that lie wholly in a box, which becomes
// theirs; nil if there are none.
func (p *prover) within(bare *image.Gray, box *artwork.Rect) (image.Point, []byte) {
	if bare == nil {
		return image.Point{}, nil
	}
	media := p.frame.Page.Boxes.Media
	in := image.Rect(
		int(math.Ceil((box[0]-media[0])*p.perPoint)), int(math.Ceil((media[3]-box[3])*p.perPoint)),
		int(math.Floor((box[2]-media[0])*p.perPoint)), int(math.Floor((media[3]-box[1])*p.perPoint)))
	if box[2]-box[0] < 1/p.perPoint || box[3]-box[1] < 1/p.perPoint || in.Empty() || !in.In(bare.Rect) {
		return image.Point{}, nil
	}
	var got []byte
	for y := in.Min.Y; y < in.Max.Y; y++ {
		got = append(got, bare.Pix[y*bare.Stride:][in.Min.X:in.Max.X]...)
	}
	at := func(v int) float64 { return float64(v) / p.perPoint }
	*box = artwork.Rect{media[0] + at(in.Min.X), media[3] - at(in.Max.Y), media[0] + at(in.Max.X), media[3] - at(in.Min.Y)}
	return in.Size(), got
}
