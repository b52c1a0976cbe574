package preview

import (
	"bufio"
	"fmt"
	"io"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/ink"
)

// Options say what the picture shows beside the frame's items.
type Options struct {
	// Layout, if given, names each label's lane and row and shows the
	// unprintable edges.
	Layout *geometry.Layout
}

// Colours of what is not ink.
const (
	wall    = "#dcdcd7" // around the web
	outline = "#7a8794" // labels' trims
	edge    = "#ecebe5" // the unprintable edge
)

// border is the wall to be seen around the web.
const border = 5 * geometry.Millimetre

// SVG writes a picture of the frame in true size, with the leading end up.
// Inks are those that the frame's paints name, in the order in which the press
// lays them. Artworks are shown as their trims, with an arrow towards their
// tops.
func SVG(w io.Writer, f draw.Frame, inks []ink.Ink, o Options) error {
	b := bufio.NewWriter(w)
	s := svg{b, palette(inks)}
	s.open(f.Size)
	s.rect(geometry.BoxAt(geometry.Position{}, f.Size).Outset(border), wall)
	s.rect(geometry.BoxAt(geometry.Position{}, f.Size), s.colour(draw.Paint{}))
	stations := map[geometry.Box]geometry.Station{}
	if o.Layout != nil {
		margin := geometry.Size{Across: o.Layout.Web.Edge, Around: f.Size.Around}
		s.rect(geometry.BoxAt(geometry.Position{}, margin), edge)
		s.rect(geometry.BoxAt(geometry.Position{Across: f.Size.Across - margin.Across}, margin), edge)
		for _, st := range o.Layout.Station {
			stations[st.Trim] = st
		}
	}
	for _, item := range f.Items {
		switch item := item.(type) {
		case draw.Fill:
			s.fill(item)
		case draw.Text:
			s.fill(item.Fill())
		case draw.Stroke:
			s.path(item.Path, fmt.Sprintf(`fill="none" stroke="%s" stroke-width="%s"%s`,
				s.colour(item.Paint), item.Width.Digits(), s.blend(item.Paint)))
		case draw.Place:
			name := fmt.Sprintf("artwork %d", item.Art+1)
			if st, ok := stations[item.Trim]; ok {
				name = fmt.Sprintf("%d / %d", st.Lane, st.Row)
			}
			if err := s.place(item, name); err != nil {
				return err
			}
		}
	}
	fmt.Fprintln(b, "</svg>")
	return b.Flush()
}

// svg writes elements in millimetres.
type svg struct {
	*bufio.Writer
	palette
}

func (s svg) open(size geometry.Size) {
	wide, long := (size.Across + 2*border).Digits(), (size.Around + 2*border).Digits()
	fmt.Fprintf(s, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="%s %s %s %s">`+"\n",
		wide, long, (-border).Digits(), (-border).Digits(), wide, long)
}

func (s svg) rect(b geometry.Box, colour string) {
	fmt.Fprintf(s, `<rect x="%s" y="%s" width="%s" height="%s" fill="%s"/>`+"\n",
		b.Min.Across.Digits(), b.Min.Around.Digits(), b.Size().Across.Digits(), b.Size().Around.Digits(), colour)
}

// path writes a path with its attributes. SVG's y grows downwards, as Around
// does, so nothing is flipped.
func (s svg) path(p draw.Path, attributes string) {
	fmt.Fprintf(s, `<path %s d="`, attributes)
	points := p.Points
	for _, v := range p.Verbs {
		s.WriteString(v.String())
		for n := range v.Points() {
			if n > 0 {
				s.WriteByte(' ')
			}
			s.WriteString(points[n].Across.Digits() + " " + points[n].Around.Digits())
		}
		points = points[v.Points():]
	}
	s.WriteString("\"/>\n")
}

func (s svg) fill(f draw.Fill) {
	s.path(f.Path, fmt.Sprintf(`fill="%s"%s`, s.colour(f.Paint), s.blend(f.Paint)))
}

func (s svg) blend(p draw.Paint) string {
	if s.covers(p) {
		return ""
	}
	return ` style="mix-blend-mode:multiply"`
}

// place shows an artwork: how far it is printed, its trim, its name and where
// its top is.
func (s svg) place(p draw.Place, name string) error {
	s.path(p.Clip, `fill="#eef2f5"`)
	s.path(draw.Rectangle(p.Trim), fmt.Sprintf(`fill="#ffffff" stroke="%s" stroke-width="0.2"`, outline))
	size := p.Trim.Size()
	height := min(size.Across, size.Around) / 8
	text, err := lettering.Regular().Set(name, height, geometry.Turn0)
	if err != nil {
		return err
	}
	c := p.Trim.Centre()
	s.path(text.At(geometry.Position{Across: c.Across - text.Width/2, Around: c.Around - height/2}),
		fmt.Sprintf(`fill="%s"`, outline))
	s.path(arrow(p.Trim, p.Turn, height), fmt.Sprintf(`fill="%s"`, outline))
	return nil
}

// arrow is a triangle inside the trim at the label's top.
func arrow(trim geometry.Box, t geometry.Turn, size geometry.Length) draw.Path {
	c := trim.Centre()
	tip := geometry.Position{Across: c.Across, Around: trim.Min.Around + size/2}
	along, side := geometry.Size{Around: size}, geometry.Size{Across: size / 2}
	switch t % 4 {
	case geometry.Turn90:
		tip = geometry.Position{Across: trim.Min.Across + size/2, Around: c.Around}
		along, side = geometry.Size{Across: size}, geometry.Size{Around: size / 2}
	case geometry.Turn180:
		tip = geometry.Position{Across: c.Across, Around: trim.Max.Around - size/2}
		along = geometry.Size{Around: -size}
	case geometry.Turn270:
		tip = geometry.Position{Across: trim.Max.Across - size/2, Around: c.Around}
		along, side = geometry.Size{Across: -size}, geometry.Size{Around: size / 2}
	}
	foot := tip.Add(along)
	var path draw.Path
	path.Move(tip)
	path.Line(foot.Add(side))
	path.Line(foot.Add(geometry.Size{Across: -side.Across, Around: -side.Around}))
	path.Close()
	return path
}
