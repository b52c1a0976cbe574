package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"

	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
	"quoin/impose/plate"
	"quoin/impose/raster"
	"quoin/impose/verify"
)

// pixelDPI is the resolution of the pixel proof: a label that stands 50 µm off
// moves its edges by a fifth of a pixel, which shows.
const pixelDPI = 100

// proveByPixels draws a written file and the artworks on it, plate by plate, and
// compares them station by station.
func proveByPixels(ctx context.Context, path string, plan *verify.Plan, at func(string) string, password string, say func(string)) (*plate.PixelReport, error) {
	if plan.Written == nil {
		return nil, fmt.Errorf("the summary doesn't say what the file holds, so its pixels can't be proved")
	}
	open := opener{ctx: ctx, at: at, password: password, files: map[string]*artwork.File{}, pages: map[string]*artwork.Page{}}
	defer open.close()
	page, err := open.page(path, 1)
	if err != nil {
		return nil, err
	}
	f := &plate.Frame{Page: page, Names: map[string]string{}, Mirrored: plan.Written.Mirrored}
	for _, k := range plan.Inks {
		if kind := ink.Kind(k.Kind); kind != ink.Technical {
			f.Inks = append(f.Inks, k.Name)
		}
	}
	for _, r := range plan.Written.Renames {
		f.Names[r.From] = r.To
	}
	for _, s := range plan.Stations {
		path, leave := artworkPath(plan, s)
		open.permitted = leave
		art, err := open.page(path, s.Page)
		if err != nil {
			return nil, err
		}
		f.Stations = append(f.Stations, plate.Station{Lane: s.Lane, Row: s.Row, Page: art, Turn: s.TurnDeg,
			Trim: artwork.Rect(s.TrimPt), Clip: artwork.Rect(s.ClipPt), Outline: s.ClipShape == "outline"})
	}
	for _, t := range plan.Targets {
		p := plate.Patch{Number: t.Number, Box: artwork.Rect(t.BoxPt), Tints: map[string]float64{}}
		for _, k := range t.Inks {
			p.Tints[k.Ink] = k.Percent
		}
		f.Patches = append(f.Patches, p)
	}
	f.Drawn = drawnBoxes(plan)
	say("drawing the plates of the frame")
	renderer, err := raster.New(ctx, say)
	if err != nil {
		return nil, err
	}
	defer renderer.Close()
	return plate.Prove(ctx, renderer, f, pixelDPI)
}

// drawnBoxes gives where the engine itself paints on plates that print.
func drawnBoxes(plan *verify.Plan) (list []plate.Drawn) {
	for _, d := range plan.Written.Drawn {
		if d.Layer == "targets" || d.Layer == "cutting" {
			continue
		}
		box := artwork.Rect(d.BoxPt)
		half := d.LinePt / 2
		one := plate.Drawn{Box: artwork.Rect{box[0] - half, box[1] - half, box[2] + half, box[3] + half}}
		if d.Overprint || d.Under {
			one.Inks = map[string]bool{}
			for _, k := range d.Inks {
				one.Inks[k.Ink] = true
			}
		}
		list = append(list, one)
	}
	return list
}

// artworkPath gives where a station's artwork is, and whether somebody gave leave
// to place it.
func artworkPath(plan *verify.Plan, s verify.Station) (path string, leave bool) {
	for _, a := range plan.Artworks {
		if a.File == s.Artwork && a.Page == s.Page {
			return a.Path, a.PermittedBy != ""
		}
	}
	return s.Artwork, false
}

// opener opens each file and each page once.
type opener struct {
	ctx   context.Context
	at    func(path string) string // where a file lies
	files map[string]*artwork.File
	pages map[string]*artwork.Page

	password  string
	permitted bool // of the next file
}

func (o *opener) page(path string, n int) (*artwork.Page, error) {
	key := fmt.Sprint(filepath.Clean(path), n)
	if p := o.pages[key]; p != nil {
		return p, nil
	}
	f := o.files[path]
	if f == nil {
		var err error
		if f, err = artwork.Open(path, artwork.Options{PDF: pdfobj.Options{Context: o.ctx, Password: o.password, Permitted: o.permitted}, Lies: o.at(path)}); err != nil {
			return nil, err
		}
		o.files[path] = f
	}
	p, err := f.Page(n)
	if err == nil {
		o.pages[key] = p
	}
	return p, err
}

func (o *opener) close() {
	for _, f := range o.files {
		f.Close()
	}
}

// pixelText says for people what the pixels showed.
func pixelText(w io.Writer, r *plate.PixelReport) error {
	if r.WorstAt == nil {
		_, err := fmt.Fprintf(w, "Pixels     %d stations, %d of them distinct, and %d targets on %d plates at %g dpi: no difference\n", r.Stations, r.Distinct, r.Patches, r.Inks, r.DPI)
		return err
	}
	verdict := "no more than drawing it twice can make"
	if r.Differs() {
		verdict = "DIFFERS"
	}
	_, err := fmt.Fprintf(w, "Pixels     %d stations, %d of them distinct, and %d targets on %d plates at %g dpi: at most %.2f points of tint, %s (%s)\n",
		r.Stations, r.Distinct, r.Patches, r.Inks, r.DPI, r.Worst, verdict, r.WorstAt)
	return err
}
