package proof

import (
	"context"
	"fmt"
	"image"
	"io"
	"slices"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/plate"
	"quoin/impose/raster"
	"quoin/impose/summary"
)

// plateSide is how many pixels a plate has along its longer side, and plateDPI
// the most that it has to the inch: the page stays below some megabytes.
const (
	plateSide = 700
	plateDPI  = 200
)

// label is what the page knows of an artwork's plates.
type label struct {
	Name   string        `json:"name"`
	Size   [2]float64    `json:"size"` // of the trim in mm, upright
	Bleed  float64       `json:"bleed"`
	Width  int           `json:"width"` // pixels of each plate, which shows the bleed too
	Height int           `json:"height"`
	Inks   []labelInk    `json:"inks"`
	Approx []approximate `json:"approximate"`
}

type labelInk struct {
	Name  string     `json:"name"`
	Kind  string     `json:"kind"`
	RGB   [3]float64 `json:"rgb"`   // of a solid, 0 to 1
	Plate string     `json:"plate"` // black where it is solid
}

type approximate struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// plates draws the plates of each artwork, under the names that inks have on the
// press, and those of the underprint.
func plates(ctx context.Context, r *raster.Renderer, im *impose.Imposition) ([]label, error) {
	cache := plate.UserCache()
	list := make([]label, len(im.Pages))
	for i, p := range im.Pages {
		var err error
		if list[i], err = platesOf(ctx, r, im, i, p, cache); err != nil {
			return nil, fmt.Errorf("%s: its plates: %w", p.Name(), err)
		}
	}
	return list, nil
}

func platesOf(ctx context.Context, r *raster.Renderer, im *impose.Imposition, art int, p *artwork.Page, cache *plate.Cache) (label, error) {
	bleed, size := im.Layout.Bleed, im.LabelSize(art)
	// A label that is smaller than its page stands in the middle of its trim.
	corner := geometry.Position{Across: (p.Size().Across - size.Across) / 2, Around: (p.Size().Around - size.Around) / 2}
	box := geometry.BoxAt(corner, size).Outset(bleed)
	dpi := min(plateDPI, plateSide*25.4/max(box.Size().Across.MM(), box.Size().Around.MM()))
	drawn, err := plate.DrawUpright(ctx, p, r, box, plate.Options{DPI: dpi, Cache: cache})
	if err != nil {
		return label{}, err
	}
	l := label{
		Name: p.BaseName(),
		Size: [2]float64{size.Across.MM(), size.Around.MM()}, Bleed: bleed.MM(),
		Width: drawn.Width, Height: drawn.Height, Inks: []labelInk{}, Approx: []approximate{},
	}
	sums := map[string]*image.Gray{}
	for _, k := range drawn.Inks {
		for _, e := range im.Inks.Inks {
			if e.Prints() && slices.Contains(e.Spelled, k.Name) {
				sums[e.Name] = together(sums[e.Name], k.Plate)
			}
		}
	}
	if err := underprint(ctx, r, im, art, int(dpi+.5), drawn, sums); err != nil {
		return label{}, err
	}
	for _, e := range im.DrawnInks() {
		if sums[e.Name] == nil {
			continue
		}
		address, err := address(inverted(sums[e.Name]))
		if err != nil {
			return label{}, err
		}
		l.Inks = append(l.Inks, labelInk{e.Name, string(e.Kind), ink.RGB(e.CMYK), address})
	}
	for _, a := range drawn.Approx {
		l.Approx = append(l.Approx, approximate(a))
	}
	return l, nil
}

// underprint adds the white that the job asks for, on each of its inks.
func underprint(ctx context.Context, r *raster.Renderer, im *impose.Imposition, art, dpi int, as *plate.Upright, sums map[string]*image.Gray) error {
	if im.Job.Inks.Underprint == nil {
		return nil
	}
	img, err := drawn(ctx, r, dpi, func(w io.Writer) error { return im.Pictures().LabelWhite(ctx, w, art) })
	if err != nil {
		return err
	}
	white := image.NewGray(image.Rect(0, 0, as.Width, as.Height))
	b := img.Bounds()
	for y := range as.Height {
		for x := range as.Width {
			at := img.At(b.Min.X+x*b.Dx()/as.Width, b.Min.Y+y*b.Dy()/as.Height)
			v, _, _, _ := at.RGBA()
			white.Pix[y*white.Stride+x] = uint8(255 - v>>8)
		}
	}
	for _, name := range impose.UnderprintInks(im.Job.Inks.Underprint) {
		sums[name] = together(sums[name], white)
	}
	return nil
}

// together adds a plate to another that prints the same ink.
func together(sum, more *image.Gray) *image.Gray {
	if sum == nil {
		sum = image.NewGray(more.Rect)
	}
	for i, v := range more.Pix {
		sum.Pix[i] = max(sum.Pix[i], v)
	}
	return sum
}

func inverted(plate *image.Gray) *image.Gray {
	out := image.NewGray(plate.Rect)
	for i, v := range plate.Pix {
		out.Pix[i] = 255 - v
	}
	return out
}

// patch is a colour target, for the reading under the pointer.
type patch struct {
	Name string     `json:"name"`
	Box  [4]float64 `json:"box"` // in mm as seen: left, top, right, bottom
	Inks []patchInk `json:"inks"`
}

type patchInk struct {
	Name    string  `json:"name"`
	Percent float64 `json:"percent"`
}

// patches returns the targets as they are seen on a web of the width.
func patches(s *summary.Summary, web geometry.Length) []patch {
	list := []patch{}
	for _, t := range s.Targets {
		p := patch{Name: fmt.Sprintf("Target %d", t.Number), Box: t.BoxMM, Inks: []patchInk{}}
		if s.Layout.SecondSurface {
			p.Box[0], p.Box[2] = web.MM()-p.Box[2], web.MM()-p.Box[0]
		}
		for _, i := range t.Inks {
			p.Inks = append(p.Inks, patchInk{i.Ink, i.TintPercent})
		}
		list = append(list, p)
	}
	return list
}

// printed names the inks of all labels, each once.
func printed(labels []label) (names []string) {
	for _, l := range labels {
		for _, i := range l.Inks {
			if !slices.Contains(names, i.Name) {
				names = append(names, i.Name)
			}
		}
	}
	return names
}

// approximations returns what the plates of all labels may differ in, each once.
func approximations(labels []label) (list []approximate) {
	for _, l := range labels {
		for _, a := range l.Approx {
			if !slices.Contains(list, a) {
				list = append(list, a)
			}
		}
	}
	return list
}
