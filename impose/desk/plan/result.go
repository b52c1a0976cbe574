package plan

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image/png"
	"math"
	"strings"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/desk/folder"
	"quoin/impose/job"
	"quoin/impose/preview"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// Result is what a plan came to.
type Result struct {
	Version  string           `json:"version"` // of the text
	Path     string           `json:"path"`    // of the job file, seen from the folder
	Faults   []Fault          `json:"faults"`  // why there is no frame; none where there is one
	Values   []Group          `json:"values"`
	Numbers  []Number         `json:"numbers"`
	Remarks  []Remark         `json:"remarks"` // warnings, then notes
	Products []Product        `json:"products"`
	Frame    *Frame           `json:"frame,omitempty"`
	Houses   []summary.House  `json:"houses"` // what the job takes from house files, the nearest first
	Summary  *summary.Summary `json:"summary,omitempty"`

	job    *job.Job
	inputs []string // files that it rests on
	parted [][]int  // lanes of each artwork, where look-alikes were parted
	stamp  string
}

// Job returns the job as it was read, which must not be changed; nil where the
// text is no job at all.
func (r *Result) Job() *job.Job { return r.job }

// Planned reports whether there is a frame.
func (r *Result) Planned() bool { return r.Frame != nil }

// Frame is the picture of a frame.
type Frame struct {
	SVG      string      `json:"svg"`      // names the artworks' pictures by addresses
	SizeMM   [2]float64  `json:"size_mm"`  // across and around
	Pictures []Picture   `json:"pictures"` // of the artworks, in the order of the job
	Film     bool        `json:"film"`
	Second   bool        `json:"second_surface"` // shown through the film
	Stations [][]float64 `json:"stations"`       // lane, row, artwork (0: blank), left, top, width, height in mm as shown, turn
}

// Picture names an artwork's picture by what it shows.
type Picture struct {
	ID    string `json:"id"`
	White string `json:"white,omitempty"` // of the white beneath
	art   int
	bleed geometry.Length
}

// Number is a number that decides.
type Number struct {
	Key   string  `json:"key"`
	Label string  `json:"label"`
	Value float64 `json:"value"`
	Text  string  `json:"text"` // with its unit
}

// Product is an artwork with what is ordered of it.
type Product struct {
	Name     string `json:"name"`
	File     string `json:"file"`
	Page     int    `json:"page"`
	Quantity int64  `json:"quantity"`
	Lanes    []int  `json:"lanes,omitempty"`
	Labels   int64  `json:"labels,omitempty"`
}

// Remark is a warning or a note.
type Remark struct {
	Warning bool `json:"warning"`
	say.Note
	BoxMM *[4]float64 `json:"box_mm,omitempty"` // left, top, width, height as shown; where the frame has the place
	PNG   []byte      `json:"png,omitempty"`    // where two labels that look alike differ, beside each other
}

// fill says what an imposition came to.
func (r *Result) fill(f *folder.Folder, im *impose.Imposition, found *alike.Found, s *summary.Summary) error {
	r.job, r.Summary = im.Job, s
	r.Numbers = numbers(s)
	for i, a := range s.Artworks {
		name := cmp.Or(a.Product, a.File)
		r.Products = append(r.Products, Product{Name: name, File: a.File, Page: a.Page, Quantity: im.Job.Artworks[i].Quantity, Lanes: a.Lanes, Labels: a.Labels})
	}
	for _, w := range s.Warnings {
		r.Remarks = append(r.Remarks, Remark{Warning: true, Note: say.Note{Code: w.Code, Text: f.Short(w.Text)}, BoxMM: place(im, w)})
	}
	if err := r.show(im, found); err != nil {
		return err
	}
	for _, n := range s.Notes {
		r.Remarks = append(r.Remarks, Remark{Note: say.Note{Code: n.Code, Text: f.Short(n.Text)}, BoxMM: place(im, n)})
	}
	frame, err := drawFrame(f, im)
	r.Frame = frame
	return err
}

// show keeps where look-alikes were parted to. It says of the remarks about them,
// which come in the order of their pairs, where the first of the two stands, and shows
// how they differ.
func (r *Result) show(im *impose.Imposition, found *alike.Found) error {
	for i := range im.Pages {
		if found.Parted {
			r.parted = append(r.parted, impose.LanesOf(im.Planned, i))
		}
	}
	next := 0
	for i := range r.Remarks {
		if r.Remarks[i].Code != alike.Code || next == len(found.Pairs) {
			continue
		}
		pair := found.Pairs[next]
		next++
		r.Remarks[i].BoxMM = station(im, pair.A)
		var picture bytes.Buffer
		if err := png.Encode(&picture, pair.Picture); err != nil {
			return err
		}
		r.Remarks[i].PNG = picture.Bytes()
	}
	return nil
}

// numbers returns those that decide, in the order in which they are looked at.
func numbers(s *summary.Summary) []Number {
	l, run := s.Layout, s.Run
	list := []Number{
		{"labels", "Labels a frame", float64(l.Labels), fmt.Sprintf("%d × %d = %s", l.Across, l.Around, say.Number(l.Labels))},
		{"repeat", "Frame", l.RepeatMM, say.MM(l.RepeatMM)},
		{"gap_around", "Gap around", l.GapAroundMM, say.MM(l.GapAroundMM)},
	}
	if t := s.Thousand; t != nil {
		list = append(list, Number{"web", "Web for 1,000", t.WebM, say.Amount(t.WebM) + " m"})
		if t.PressMin > 0 {
			list = append(list, Number{"minutes", "Press for 1,000", t.PressMin, say.Amount(t.PressMin) + " min"})
		}
	} else {
		list = append(list, Number{"frames", "Frames", float64(run.Frames), say.Number(run.Frames)},
			Number{"web", "Web", run.WebGrossM, say.Fixed(run.WebGrossM, 1) + " m"})
		if run.PressMin > 0 {
			list = append(list, Number{"minutes", "Press", run.PressMin, say.Fixed(run.PressMin, 1) + " min"})
		}
		list = append(list, Number{"yield", "Yield", run.YieldPercent, say.Fixed(run.YieldPercent, 1) + " %"},
			Number{"overs", "Overs", float64(run.Overs), say.Number(run.Overs)})
	}
	list = append(list, Number{"matrix", "Matrix", l.MatrixPercent, say.Fixed(l.MatrixPercent, 1) + " %"})
	if p := s.Production; p != nil && p.Cost != nil && s.Thousand == nil {
		list = append(list, Number{"cost", "Cost", p.Cost.Total, say.Fixed(p.Cost.Total, 2) + " " + p.Cost.Currency})
	}
	return list
}

// Change is a number that is not what it was.
type Change struct {
	Key   string `json:"key"`
	Label string `json:"label"`
	From  string `json:"from"`
	To    string `json:"to"`
	// Better tells whether the change is for the better: 1, for the worse: -1, or
	// neither: 0.
	Better int `json:"better"`
}

// sense says which way a number is better.
var sense = map[string]float64{"labels": 1, "web": -1, "minutes": -1, "yield": 1, "matrix": -1, "cost": -1, "overs": -1, "frames": -1}

// Changes compares two results.
func Changes(from, to *Result) []Change {
	list := []Change{}
	if from == nil || !from.Planned() || !to.Planned() {
		return list
	}
	for _, n := range to.Numbers {
		for _, o := range from.Numbers {
			if o.Key == n.Key && o.Label == n.Label && o.Text != n.Text { // metres for 1,000 are no metres of an order
				better := sense[n.Key] * (n.Value - o.Value)
				c := Change{Key: n.Key, Label: n.Label, From: o.Text, To: n.Text}
				if better != 0 {
					c.Better = int(math.Copysign(1, better))
				}
				list = append(list, c)
			}
		}
	}
	return list
}

// pictureBleed is how much bleed the artworks' pictures show at least, so that
// another bleed of the job needs no other picture.
const pictureBleed = 5 * geometry.Millimetre

// drawFrame draws the frame, as it is seen, with its artworks' pictures named by
// their addresses.
func drawFrame(f *folder.Folder, im *impose.Imposition) (*Frame, error) {
	bleed := (im.Layout.Bleed + pictureBleed - 1) / pictureBleed * pictureBleed
	bleed = max(bleed, pictureBleed)
	size := im.Frame.Size
	out := &Frame{SizeMM: [2]float64{size.Across.MM(), size.Around.MM()}, Film: im.Pictures().Film(), Second: im.Job.Mirror}
	hasWhite := im.Pictures().HasWhite()
	var colours, whites []string
	for i, a := range im.Job.Artworks {
		p := Picture{art: i, bleed: bleed}
		p.ID = pictureID(f.Sum(im.Job.Path(a.File)), a.Page, im.LabelSize(i), bleed, im.Job, "colours")
		colours = append(colours, "/picture/"+p.ID+".png")
		if hasWhite {
			p.White = pictureID(p.ID, a.Page, im.LabelSize(i), bleed, im.Job, "white")
			whites = append(whites, "/picture/"+p.White+".png")
		}
		out.Pictures = append(out.Pictures, p)
	}
	var svg bytes.Buffer
	err := preview.SVG(&svg, im.Frame, im.DrawnInks(), preview.Options{
		Layout: im.AsSeen, Dimensions: true, Pictures: colours, Whites: whites, Film: out.Film, Bleed: bleed, Inline: true,
	})
	if err != nil {
		return nil, err
	}
	// The page takes no styles that stand in elements.
	out.SVG = strings.ReplaceAll(svg.String(), ` style="mix-blend-mode:multiply"`, ` class="on-ink"`)
	for i, st := range im.AsSeen.Station {
		b := st.Trim
		out.Stations = append(out.Stations, []float64{float64(st.Lane), float64(st.Row), float64(im.Places[i] + 1),
			b.Min.Across.MM(), b.Min.Around.MM(), b.Size().Across.MM(), b.Size().Around.MM(), float64(st.Turn.Degrees())})
	}
	return out, nil
}

// pictureID names a picture by all that it shows.
func pictureID(sum string, page int, size geometry.Size, bleed geometry.Length, j *job.Job, what string) string {
	h := sha256.New()
	under := ""
	if u := j.Inks.Underprint; u != nil {
		under = fmt.Sprintf("%+v", *u)
	}
	fmt.Fprintf(h, "1 %s %d %v %d %v %v %s %s %s %t", sum, page, size, bleed, j.Inks.Technical, j.Inks.Aliases, under, j.Material.Kind, what, j.Mirror)
	return hex.EncodeToString(h.Sum(nil)[:16])
}

// longest is how many pixels a picture has along its longer side.
const longest = 900

// PictureDPI returns the resolution of an artwork's picture.
func (p Picture) dpi(size geometry.Size) int {
	side := max(size.Across, size.Around) + 2*p.bleed
	return min(600, max(36, int(longest*float64(geometry.Inch)/float64(side))))
}

// Placed returns the transform that lays an artwork's picture, one unit wide and
// high, on a station of the frame.
func (f *Frame) Placed(st []float64) string {
	p := f.Pictures[int(st[2])-1]
	x, y, wide, high, turn := st[3], st[4], st[5], st[6], st[7]
	bleed := p.bleed.MM()
	w, h := wide, high // of the upright label
	if int(turn)%180 != 0 {
		w, h = high, wide
	}
	return fmt.Sprintf("translate(%g %g) rotate(%g) translate(%g %g) scale(%g %g)", x+wide/2, y+high/2, -turn, -w/2-bleed, -h/2-bleed, w+2*bleed, h+2*bleed)
}
