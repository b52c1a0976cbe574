// Package again says how a new artwork differs from the one whose place it takes
// in an old job: in what a report counts, and to the eye.
package again

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/plate"
	"quoin/impose/raster"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// Changes lists what two pages say of themselves otherwise, in the order in which
// it matters: sizes, inks, the die line, then fonts and images.
func Changes(was, now *artwork.Page) []summary.Change {
	list := []summary.Change{}
	differ := func(code, a, b string) {
		if a != b {
			list = append(list, summary.Change{Code: code, Was: a, Now: b})
		}
	}
	a, b := was.Report(), now.Report()
	differ(CodeTrim, say.Pair(a.TrimMM[0], a.TrimMM[1]), say.Pair(b.TrimMM[0], b.TrimMM[1]))
	differ(CodeBleed, a.BleedMM.String(), b.BleedMM.String())
	differ(CodePages, say.Count(was.File.Pages(), "page"), say.Count(now.File.Pages(), "page"))
	names(&list, CodeInk, inks(a), inks(b))
	differ(CodeDieLine, dieLine(a.DieLine), dieLine(b.DieLine))
	names(&list, CodeFont, fonts(a), fonts(b))
	differ(CodeImage, images(a.Images), images(b.Images))
	differ(CodeTransparency, yes(a.Transparency), yes(b.Transparency))
	differ(CodeOverprint, yes(a.Overprint), yes(b.Overprint))
	differ(CodeIntent, intent(a.Intent), intent(b.Intent))
	return list
}

// Look compares what is seen of two pages within their trims. Picture shows where
// most of it lies, was at the left and now at the right; nil where nothing
// differs, or where the trims are of two sizes, which is wholly different.
func Look(ctx context.Context, r *raster.Renderer, was, now *artwork.Page, into *summary.Again) (picture image.Image, err error) {
	l, err := plate.Compare(ctx, r, was, now)
	if err != nil {
		return nil, err
	}
	percent := math.Round(l.Percent*1e4) / 1e4
	if percent == 0 && l.Percent > 0 {
		percent = 1e-4
	}
	into.Percent = &percent
	if l.Picture != nil {
		p := l.Place
		into.PlaceMM = &[4]float64{p.Min.Across.MM(), p.Min.Around.MM(), p.Max.Across.MM(), p.Max.Around.MM()}
	}
	return l.Picture, nil
}

// Stack sets pictures under each other, on white.
func Stack(pictures []image.Image) image.Image {
	const apart = 16
	if len(pictures) == 1 {
		return pictures[0]
	}
	var all image.Rectangle
	for _, p := range pictures {
		all.Max.X = max(all.Max.X, p.Bounds().Dx())
		all.Max.Y += p.Bounds().Dy() + apart
	}
	all.Max.Y -= apart
	out := image.NewRGBA(all)
	draw.Draw(out, all, image.NewUniform(color.White), image.Point{}, draw.Src)
	y := 0
	for _, p := range pictures {
		draw.Draw(out, image.Rect(0, y, p.Bounds().Dx(), y+p.Bounds().Dy()), p, p.Bounds().Min, draw.Src)
		y += p.Bounds().Dy() + apart
	}
	return out
}

// names lists each name that only one of the two has.
func names(list *[]summary.Change, code string, was, now []string) {
	for _, n := range was {
		if !slices.Contains(now, n) {
			*list = append(*list, summary.Change{Code: code, Was: n, Now: "gone"})
		}
	}
	for _, n := range now {
		if !slices.Contains(was, n) {
			*list = append(*list, summary.Change{Code: code, Was: "not there", Now: n})
		}
	}
}

func inks(r artwork.PageReport) (list []string) {
	for _, k := range r.Inks {
		list = append(list, fmt.Sprintf("%s (%s)", k.Name, k.Kind))
	}
	return list
}

// fonts names them without the six letters of a subset, which change with every
// export (ISO 32000-1, 9.6.4).
func fonts(r artwork.PageReport) (list []string) {
	for _, f := range r.Fonts {
		name := f.Name
		if tag, rest, cut := strings.Cut(name, "+"); cut && len(tag) == 6 {
			name = rest
		}
		if !f.Embedded {
			name += ", not embedded"
		}
		if !slices.Contains(list, name) {
			list = append(list, name)
		}
	}
	return list
}

// images counts them and names the lowest resolution.
func images(list []artwork.ImageReport) string {
	least := 0.0
	for _, i := range list {
		if i.PPI > 0 && (least == 0 || i.PPI < least) {
			least = i.PPI
		}
	}
	text := say.Count(len(list), "image")
	if least > 0 {
		text += fmt.Sprintf(", the lowest at %s ppi", say.Decimals(least, 0))
	}
	return text
}

func dieLine(d *artwork.DieLineReport) string {
	if d == nil {
		return "none"
	}
	return d.String()
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func intent(i *artwork.IntentReport) string {
	if i == nil {
		return "none"
	}
	return i.Condition
}
