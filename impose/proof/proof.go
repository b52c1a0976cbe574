// Package proof writes one HTML page that shows an imposition to people: the
// frame with its real artworks to zoom and pan, layers to switch, what stands
// on each station, the summary and its warnings. The page is self-contained and
// works offline.
package proof

import (
	"bytes"
	"cmp"
	"context"
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"image"
	"image/png"
	"io"
	"sync"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/draw"
	"quoin/impose/preview"
	"quoin/impose/raster"
	"quoin/impose/say"
	"quoin/impose/summary"
)

//go:embed page.html
var page string

//go:embed page.css
var style string

//go:embed page.js
var script string

//go:embed look.js
var look string

var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("proof").Funcs(template.FuncMap{
		"number": say.Digits, "count": say.Number[int64], "counted": say.Count[int64], "amount": say.Amount, "fixed": say.Fixed, "add": func(a, b int) int { return a + b },
	}).Parse(page))
})

// longestSide is how many pixels an artwork's picture has along its longer
// side: enough to read small print when zoomed in.
const longestSide = 1400

// HTML writes the page of an imposition and its summary. Say is told what takes
// its time.
func HTML(ctx context.Context, w io.Writer, im *impose.Imposition, s *summary.Summary, say func(string)) error {
	pictures, whites, labels, err := drawAll(ctx, im, say)
	if err != nil {
		return err
	}
	patches := patches(s, im.Layout.Web.Width)
	var svg bytes.Buffer
	err = preview.SVG(&svg, im.Frame, im.DrawnInks(), preview.Options{
		Layout: im.AsSeen, Dimensions: true, Pictures: pictures, Whites: whites, Film: im.Pictures().Film(), Bleed: im.Layout.Bleed, Inline: true,
	})
	if err != nil {
		return fmt.Errorf("drawing the frame: %w", err)
	}
	data, err := json.Marshal(map[string]any{"stations": describe(im, s), "labels": labels, "patches": patches, "film": im.Pictures().Film()})
	if err != nil {
		return err
	}
	return pageTemplate().Execute(w, map[string]any{
		"S": s, "SVG": template.HTML(svg.String()), "Data": template.JS(data), "Inks": printed(labels), "Approx": approximations(labels),
		"Style": template.CSS(style), "Script": template.JS(script + look), "Layers": layers(im.Frame),
		"Second": im.Job.Mirror, "Film": im.Pictures().Film(),
	})
}

// drawAll draws each artwork and its plates. The renderer and its memory, the larger
// part of all that the page takes, are gone before the page is put together.
func drawAll(ctx context.Context, im *impose.Imposition, say func(string)) (colours, whites []string, labels []label, err error) {
	renderer, err := raster.New(ctx, say)
	if err != nil {
		return nil, nil, nil, err
	}
	defer renderer.Close()
	if colours, whites, err = pictures(ctx, renderer, im); err != nil {
		return nil, nil, nil, err
	}
	say("drawing the plates")
	labels, err = plates(ctx, renderer, im)
	return colours, whites, labels, err
}

// pictures gives each artwork's picture as a data address, and where white is
// printed, that of the white beneath it.
func pictures(ctx context.Context, renderer *raster.Renderer, im *impose.Imposition) (colours, whites []string, err error) {
	colours, whites = make([]string, len(im.Pages)), make([]string, len(im.Pages))
	seen := im.Pictures()
	for i := range im.Pages {
		size := im.LabelSize(i)
		side := max(size.Across, size.Around) + 2*im.Layout.Bleed
		dpi := max(36, int(float64(longestSide)*float64(geometry.Inch)/float64(side)))
		colour, white, err := lookOf(ctx, im, renderer, dpi,
			views{
				func(w io.Writer) error { return seen.Label(ctx, w, i) },
				func(w io.Writer) error { return seen.LabelWhole(ctx, w, i) },
				func(w io.Writer) error { return seen.LabelWhite(ctx, w, i) },
			})
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", im.Pages[i].Name(), err)
		}
		if colours[i], err = address(colour); err != nil {
			return nil, nil, err
		}
		if white == nil {
			continue
		}
		if whites[i], err = address(white); err != nil {
			return nil, nil, err
		}
	}
	return colours, whites, nil
}

// views is a frame or a label, written in three ways.
type views struct {
	coloured func(io.Writer) error // without white and varnish
	whole    func(io.Writer) error // in all the artworks' inks
	white    func(io.Writer) error // the engine's white, in black
}

// lookOf returns a picture of the colours, and where the job prints white, one of
// the white beneath them, nil elsewhere. Where there is white, the colours and
// the artworks' own white are put together from the plates; the engine's white,
// which overprints all, is drawn alone.
func lookOf(ctx context.Context, im *impose.Imposition, r *raster.Renderer, dpi int, l views) (colours, white image.Image, err error) {
	if !im.Pictures().HasWhite() {
		colours, err = drawn(ctx, r, dpi, l.coloured)
		return colours, nil, err
	}
	plates, err := separate(ctx, im, r, dpi, l.whole)
	if err != nil {
		return nil, nil, err
	}
	if im.Pictures().Underprint() {
		img, err := drawn(ctx, r, dpi, l.white)
		if err != nil {
			return nil, nil, err
		}
		plates.underprint(img)
	}
	white = plates.whiteAlone()
	if plates.exact {
		return plates.colours, white, nil
	}
	colours, err = drawn(ctx, r, dpi, l.coloured)
	return colours, white, err
}

// drawn renders what is written.
func drawn(ctx context.Context, r *raster.Renderer, dpi int, write func(io.Writer) error) (image.Image, error) {
	var pdf raster.Draft
	defer pdf.Close()
	if err := write(&pdf); err != nil {
		return nil, err
	}
	return r.Draft(ctx, &pdf, dpi)
}

func address(img image.Image) (string, error) {
	var picture bytes.Buffer
	if err := png.Encode(&picture, img); err != nil {
		return "", err
	}
	return "data:image/png;base64," + base64.StdEncoding.EncodeToString(picture.Bytes()), nil
}

// station is what the page tells of a station.
type station struct {
	ID   string     `json:"id"`
	Text string     `json:"text"`
	Box  [4]float64 `json:"box"` // trim in mm: left, top, width, height
	Art  int        `json:"art"` // first is 0
	Turn int        `json:"turn"`
}

// describe returns the stations in the order of their lanes and rows.
func describe(im *impose.Imposition, s *summary.Summary) []station {
	var list []station
	for i, st := range im.Layout.Station {
		art := im.Places[i]
		if art < 0 {
			continue
		}
		a := s.Artworks[art]
		name := cmp.Or(a.Product, a.File)
		b := im.AsSeen.Station[i].Trim // where the picture has it
		list = append(list, station{
			ID: preview.StationID(st),
			Text: fmt.Sprintf("Lane %d, row %d: %s, page %d, turned %d degrees; on the printed face, trim %s mm from the left edge, %s mm from the leading end",
				st.Lane, st.Row, name, a.Page, st.Turn.Degrees(), st.Trim.Min.Across.Digits(), st.Trim.Min.Around.Digits()),
			Art: art, Turn: im.AsSeen.Station[i].Turn.Degrees(),
			Box: [4]float64{b.Min.Across.MM(), b.Min.Around.MM(), b.Size().Across.MM(), b.Size().Around.MM()},
		})
	}
	return list
}

// layer is a switch of the page.
type layer struct {
	Name string
	Word string
}

// words says to people what a layer is.
var words = map[draw.Layer]string{
	draw.Artwork: "Artwork", draw.White: "White", draw.Varnish: "Varnish", draw.Data: "Variable data", draw.Cutting: "Cutting", draw.DieLine: "Die lines (not printed)",
	draw.Targets: "Colour targets", draw.Marks: "Marks", draw.Slug: "Slug line", draw.Dimensions: "Dimensions",
}

// layers returns the layers that the frame has, in painting order.
func layers(f draw.Frame) []layer {
	var list []layer
	seen := map[draw.Layer]bool{}
	add := func(l draw.Layer) {
		if !seen[l] {
			seen[l] = true
			list = append(list, layer{string(l), words[l]})
		}
	}
	for _, item := range f.Items {
		add(item.On())
	}
	add(draw.Dimensions)
	return list
}
