// Package pixels proves written files by their pixels: it draws each plate of a
// file and of the artworks on it, and compares them station by station.
package pixels

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"sync"

	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
	"quoin/impose/plate"
	"quoin/impose/raster"
	"quoin/impose/say"
	"quoin/impose/verify"
)

// Fine is the resolution at which a file is proved by itself: a label that stands
// 50 µm off moves its edges by a fifth of a pixel, which shows.
const Fine = 100

// Coarse is that at which the runs of a night are proved, many of them: it shows
// what is missing or of another tint, and edges of strong inks that stand 50 µm off.
const Coarse = 50

// Prover proves files. Its renderer starts with the first and serves them all, one
// after another; several goroutines may use it.
type Prover struct {
	Say func(string) // told what takes time
	DPI float64

	one      sync.Mutex
	renderer *raster.Renderer
}

// Close ends the renderer.
func (p *Prover) Close() {
	if p.renderer != nil {
		p.renderer.Close()
	}
}

// File compares the file at path, of which a plan says what it holds, with its
// artworks, which opt finds and opens. What differs is in the report; an error
// means that it could not be looked at.
func (p *Prover) File(ctx context.Context, path string, plan *verify.Expected, opt verify.Options) (*plate.PixelReport, error) {
	if plan.Written == nil {
		return nil, fmt.Errorf("the summary doesn't say what the file holds, so its pixels can't be proved")
	}
	files := opener{ctx: ctx, plan: plan, opt: opt, lies: map[string]string{}, files: map[string]*artwork.File{}, pages: map[string]*artwork.Page{}}
	defer files.close()
	page, err := files.page(path, path, 1)
	if err != nil {
		return nil, err
	}
	f, err := files.frame(page)
	if err != nil {
		return nil, err
	}
	p.one.Lock()
	defer p.one.Unlock()
	p.Say("drawing the plates of the frame")
	if p.renderer == nil {
		if p.renderer, err = raster.New(context.WithoutCancel(ctx), p.Say); err != nil {
			return nil, err
		}
	}
	return plate.Prove(ctx, p.renderer, f, p.DPI)
}

// frame opens the artworks of a plan.
func (o *opener) frame(page *artwork.Page) (*plate.Frame, error) {
	plan := o.plan
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
		o.permitted = leave
		lies := o.lies[path]
		if lies == "" {
			var err error
			if lies, err = o.opt.Find(plan, path); err != nil {
				return nil, err
			}
			o.lies[path] = lies
		}
		art, err := o.page(path, lies, s.Page)
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
	return f, nil
}

// drawnBoxes returns where the engine itself paints on plates that print.
func drawnBoxes(plan *verify.Expected) (list []plate.Drawn) {
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

// artworkPath returns where a station's artwork is, and whether somebody gave leave
// to place it.
func artworkPath(plan *verify.Expected, s verify.Station) (path string, leave bool) {
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
	plan  *verify.Expected
	opt   verify.Options
	lies  map[string]string // where artworks lie, by the plan's path
	files map[string]*artwork.File
	pages map[string]*artwork.Page

	permitted bool // of the next file
}

func (o *opener) page(path, lies string, n int) (*artwork.Page, error) {
	key := fmt.Sprint(filepath.Clean(path), n)
	if p := o.pages[key]; p != nil {
		return p, nil
	}
	f := o.files[path]
	if f == nil {
		password := ""
		if o.opt.Password != nil {
			password = o.opt.Password(path)
		}
		var err error
		if f, err = artwork.Open(path, artwork.Options{PDF: pdfobj.Limits{Context: o.ctx, Password: password, Permitted: o.permitted}, Lies: lies}); err != nil {
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

// Text says for people what the pixels showed.
func Text(w io.Writer, r *plate.PixelReport) error {
	_, err := fmt.Fprintf(w, "Pixels     %s\n", Line(r))
	return err
}

// Line says it in one line.
func Line(r *plate.PixelReport) string {
	compared := fmt.Sprintf("%d stations, %d of them distinct, and %d targets on %d plates at %s dpi", r.Stations, r.Distinct, r.Patches, r.Inks, say.Exact(r.DPI))
	if r.WorstAt == nil {
		return compared + ": no difference"
	}
	verdict := "no more than drawing it twice can make"
	if r.Differs() {
		verdict = "DIFFERS"
	}
	return fmt.Sprintf("%s: at most %s points of tint, %s (%s)", compared, say.Fixed(r.Worst, 2), verdict, r.WorstAt)
}

// Wrong says of a report that differs what a refusal lists.
func Wrong(r *plate.PixelReport) string {
	return fmt.Sprintf("differs: pixels: %s points of tint, %s", say.Fixed(r.Worst, 2), r.WorstAt)
}
