package worker

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"os"
	"runtime/debug"

	"quoin/geometry"
	"quoin/impose/again"
	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
	"quoin/impose/plate"
	"quoin/impose/raster"
	"quoin/impose/summary"
)

// mostMemory is what the process may use; beyond it, it dies.
const mostMemory = 1 << 30

// Serve draws what it is asked for until there is nothing more to read.
func Serve(ctx context.Context, in io.Reader, out io.Writer) error {
	debug.SetMemoryLimit(mostMemory * 3 / 4)
	limit(mostMemory)
	d := &drawer{ctx: ctx}
	defer d.close()
	r := bufio.NewReader(in)
	for {
		line, err := r.ReadBytes('\n')
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		var a Ask
		if err := json.Unmarshal(line, &a); err != nil {
			return err
		}
		if a.Bytes < 0 || a.Bytes > mostBytes {
			return fmt.Errorf("a request of %d bytes", a.Bytes)
		}
		body := make([]byte, a.Bytes)
		if _, err := io.ReadFull(r, body); err != nil {
			return err
		}
		data, err := d.draw(a, body)
		h := head{Bytes: len(data)}
		if err != nil {
			h, data = head{Error: err.Error()}, nil
		}
		answer, err := json.Marshal(h)
		if err != nil {
			return err
		}
		if _, err := out.Write(append(append(answer, '\n'), data...)); err != nil {
			return err
		}
	}
}

// drawer keeps the renderer, which takes a while to start.
type drawer struct {
	ctx      context.Context
	renderer *raster.Renderer
}

func (d *drawer) close() {
	if d.renderer != nil {
		d.renderer.Close()
	}
}

func (d *drawer) draw(a Ask, body []byte) (_ []byte, err error) {
	if d.renderer == nil {
		if d.renderer, err = raster.New(d.ctx, func(string) {}); err != nil {
			return nil, err
		}
	}
	switch a.Do {
	case "page", "white":
		img, err := d.renderer.Page(body, int(a.DPI))
		if err != nil {
			return nil, err
		}
		if a.Do == "white" {
			img = whiteOf(img)
		}
		return encode(img)
	case "file":
		return d.file(a)
	case "plates", "plate":
		return d.plates(a)
	case "compare":
		return d.compare(a)
	case "alike":
		return d.alike(body)
	}
	return nil, fmt.Errorf("%q is nothing to draw", a.Do)
}

func encode(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	err := e.Encode(&b, img)
	return b.Bytes(), err
}

// whiteOf makes white of black and lets all else be clear.
func whiteOf(img image.Image) image.Image {
	b := img.Bounds()
	out := image.NewNRGBA(b)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			grey := color.GrayModel.Convert(img.At(x, y)).(color.Gray).Y
			out.SetNRGBA(x, y, color.NRGBA{255, 255, 255, 255 - grey})
		}
	}
	return out
}

// mostFile bounds a file that is drawn as it is: the renderer takes it whole.
const mostFile = 200 << 20

// file draws a page of a file as it is, so many pixels along its longer side as
// DPI says.
func (d *drawer) file(a Ask) ([]byte, error) {
	f, p, err := d.open(a.File, a.Page, a.Password)
	if err != nil {
		return nil, err
	}
	size := p.MediaSize()
	f.Close()
	if info, err := os.Stat(a.File); err != nil || info.Size() > mostFile {
		return nil, fmt.Errorf("the file is too large to be drawn whole")
	}
	pdf, err := os.ReadFile(a.File)
	if err != nil {
		return nil, err
	}
	var img image.Image
	dpi := min(300, max(1, int(a.DPI*float64(geometry.Inch)/float64(max(size.Across, size.Around, 1)))))
	err = d.renderer.Pages(pdf, dpi, []int{p.Number - 1}, func(_ int, page image.Image) error {
		img = page
		return nil
	})
	if err != nil {
		return nil, err
	}
	return encode(img)
}

// open opens a page of an artwork.
func (d *drawer) open(file string, page int, password string) (*artwork.File, *artwork.Page, error) {
	f, err := artwork.Open(file, artwork.Options{PDF: pdfobj.Limits{Context: d.ctx, Password: password, Permitted: true}})
	if err != nil {
		return nil, nil, err
	}
	p, err := f.Page(max(page, 1))
	if err != nil {
		f.Close()
		return nil, nil, err
	}
	return f, p, nil
}

// Plates lists the plates of a page and says how their pixels lie.
type Plates struct {
	DPI    float64 `json:"dpi"`
	Width  int     `json:"width"`
	Height int     `json:"height"`
	// LeftMM and TopMM are where the first pixel's corner lies from the trim's
	// leading left corner, and SizeMM is that of the trim.
	LeftMM  float64     `json:"left_mm"`
	TopMM   float64     `json:"top_mm"`
	PixelMM float64     `json:"pixel_mm"`
	SizeMM  [2]float64  `json:"size_mm"`
	Inks    []PlatesInk `json:"inks"`
	// Found is what is wrong on the plates: too near the cut, empty bleed, too much
	// ink, fine things in several inks.
	Found []string `json:"found"`
}

// PlatesInk is one plate.
type PlatesInk struct {
	Name string     `json:"name"`
	Kind string     `json:"kind"`
	RGB  [3]float64 `json:"rgb"` // what it looks like as a solid on white, 0 to 1
}

// plates lists the plates of a page, or draws one of them: grey, 0 is no ink and
// 255 solid.
func (d *drawer) plates(a Ask) ([]byte, error) {
	f, p, err := d.open(a.File, a.Page, a.Password)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	set := plate.New(p, d.renderer, plate.Options{DPI: a.DPI})
	if a.Do == "plate" {
		if a.Ink < 0 || a.Ink >= len(set.Inks) {
			return nil, fmt.Errorf("there is no plate %d", a.Ink+1)
		}
		img, err := set.Raster(d.ctx, a.Ink)
		if err != nil {
			return nil, err
		}
		return encode(img)
	}
	size := p.Size()
	first := set.Place(0, 0)
	step := float64(geometry.Inch.MM()) / set.Grid.DPI
	list := Plates{DPI: set.Grid.DPI, Width: set.Grid.Width, Height: set.Grid.Height, PixelMM: step,
		LeftMM: first.Across.MM() - step/2, TopMM: first.Around.MM() - step/2, SizeMM: [2]float64{size.Across.MM(), size.Around.MM()}, Inks: []PlatesInk{}, Found: []string{}}
	for _, k := range set.Inks {
		list.Inks = append(list.Inks, PlatesInk{Name: k.Name, Kind: string(k.Kind), RGB: ink.RGB(k.CMYK)})
	}
	found, err := plate.Coverage(d.ctx, p, d.renderer, plate.CoverageOptions{DPI: a.DPI, Limit: a.InkLimit, FromCut: geometry.Length(a.FromCut), Cache: plate.UserCache()})
	if err != nil {
		return nil, err
	}
	list.Found = append(list.Found, found.Findings...)
	return json.Marshal(list)
}

// compare draws where two artworks differ, the first at the left.
func (d *drawer) compare(a Ask) ([]byte, error) {
	f, p, err := d.open(a.File, a.Page, a.Password)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	g, q, err := d.open(a.OtherFile, a.OtherPage, a.Password)
	if err != nil {
		return nil, err
	}
	defer g.Close()
	l, err := plate.Compare(d.ctx, d.renderer, p, q)
	if err != nil {
		return nil, err
	}
	answer := Difference{Changes: again.Changes(p, q), Percent: l.Percent, SizeMM: [2][2]float64{{p.Size().Across.MM(), p.Size().Around.MM()}, {q.Size().Across.MM(), q.Size().Around.MM()}}}
	if l.Picture != nil {
		if answer.PNG, err = encode(l.Picture); err != nil {
			return nil, err
		}
	}
	return json.Marshal(answer)
}

// Difference says how two artworks differ.
type Difference struct {
	Changes []summary.Change `json:"changes"` // that are counted
	Percent float64          `json:"percent"` // of the label's area
	SizeMM  [2][2]float64    `json:"size_mm"` // of both, across and around
	PNG     []byte           `json:"png,omitempty"`
}
