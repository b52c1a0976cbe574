package preview

import (
	"bufio"
	"fmt"
	"html"
	"io"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
)

// SVG writes a picture of the frame in true size, with the leading end up.
// Inks are those that the frame's paints name, in the order in which the press
// lays them. Each layer is a group of class layer, each station one of class
// station, so that a page can switch and find them.
func SVG(w io.Writer, f draw.Frame, inks []ink.Ink, o Options) error {
	s := svg{bufio.NewWriter(w), o, map[string]int{}, new(string)}
	s.open(f.Size)
	if o.Inline { // what a page may mirror across
		m := draw.Mirror(f.Size.Across.MM())
		fmt.Fprintf(s, `<g id="face" data-mirror="matrix(%g %g %g %g %g %g)">`+"\n", m[0], m[1], m[2], m[3], m[4], m[5])
	}
	if err := show(s, f, inks, o); err != nil {
		return err
	}
	if o.Inline {
		s.end()
	}
	s.WriteString("</svg>\n")
	return s.Flush()
}

// svg writes elements in millimetres. SVG's y grows downwards, as Around does,
// so nothing is flipped.
type svg struct {
	*bufio.Writer
	o     Options
	cells map[string]int // numbers of the patterns
	name  *string        // of a station whose group is not begun yet: one rectangle may do
}

func (s svg) open(size geometry.Size) {
	border := s.o.border(size)
	wide, long := (size.Across + 2*border).Digits(), (size.Around + 2*border).Digits()
	onPaper := fmt.Sprintf(` width="%smm" height="%smm"`, wide, long)
	if s.o.Inline {
		onPaper = ""
	}
	fmt.Fprintf(s, `<svg xmlns="http://www.w3.org/2000/svg"%s viewBox="%s %s %s %s">`+"\n",
		onPaper, (-border).Digits(), (-border).Digits(), wide, long)
	define := func(name string, addresses []string) {
		for i, address := range addresses {
			if address != "" {
				fmt.Fprintf(s, `<defs><image id="%s%d" width="1" height="1" preserveAspectRatio="none" href="%s"/></defs>`+"\n", name, i+1, html.EscapeString(address))
			}
		}
	}
	define("art", s.o.Pictures)
	define("white", s.o.Whites)
}

func (s svg) begin(class, name string) {
	if class == "station" && s.o.Inline && !s.o.Film {
		*s.name = name
		return
	}
	s.group()
	s.element(class, name)
}

// group begins the group of a station that is more than one rectangle.
func (s svg) group() {
	if *s.name != "" {
		s.element("station", *s.name)
		*s.name = ""
	}
}

func (s svg) element(class, name string) {
	key := "id"
	if class == "layer" {
		key = "data-layer"
	}
	fmt.Fprintf(s, `<g class="%s" %s="%s">`+"\n", class, key, name)
}

func (s svg) end() {
	if *s.name != "" { // it was one rectangle
		*s.name = ""
		return
	}
	s.WriteString("</g>\n")
}

func (s svg) fill(p draw.Path, colour string, multiply bool) {
	s.path(p, fmt.Sprintf(`fill="%s"%s`, colour, blend(multiply)))
}

func (s svg) stroke(p draw.Path, colour string, width geometry.Length, multiply bool) {
	s.path(p, fmt.Sprintf(`fill="none" stroke="%s" stroke-width="%s"%s`, colour, width.Digits(), blend(multiply)))
}

func blend(multiply bool) string {
	if !multiply {
		return ""
	}
	return ` style="mix-blend-mode:multiply"`
}

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

// picture turns the artwork's picture about the middle of its station and cuts
// it to its clip.
func (s svg) picture(p draw.Place) bool {
	if p.Art >= len(s.o.Pictures) {
		s.group()
		return false
	}
	if p.Art < len(s.o.Whites) && s.o.Whites[p.Art] != "" {
		s.begin("layer", string(draw.White))
		s.use("white", p)
		s.end()
	}
	if !s.o.Film && s.o.Inline { // a page shows thousands of them, and each element costs it time
		s.cell(p)
		return true
	}
	s.WriteString(`<g` + blend(s.o.Film) + ">")
	s.use("art", p)
	s.end()
	return true
}

// use places a picture of an artwork.
func (s svg) use(picture string, p draw.Place) {
	c := p.Trim.Centre()
	size := p.Trim.Size().Turned(p.Turn) // as the upright label has it
	wide, long := size.Across+2*s.o.Bleed, size.Around+2*s.o.Bleed
	b := p.Clip.Bounds()
	if _, box := p.Clip.Box(); !box {
		id := "clip" + b.Min.Across.Digits() + "_" + b.Min.Around.Digits()
		if picture != "art" {
			id = picture + id
		}
		fmt.Fprintf(s, `<clipPath id="%s">`+"\n", id)
		s.path(p.Clip, "")
		fmt.Fprintf(s, `</clipPath><g clip-path="url(#%s)">`+"\n", id)
		defer s.WriteString("</g>\n")
	}
	fmt.Fprintf(s, `<svg x="%s" y="%s" width="%s" height="%s" viewBox="%[1]s %[2]s %[3]s %[4]s"><use href="#%s" transform="translate(%s %s) rotate(%d) translate(%s %s) scale(%s %s)"/></svg>`+"\n",
		b.Min.Across.Digits(), b.Min.Around.Digits(), b.Size().Across.Digits(), b.Size().Around.Digits(),
		fmt.Sprintf("%s%d", picture, p.Art+1), c.Across.Digits(), c.Around.Digits(), -p.Turn.Degrees(), (-wide / 2).Digits(), (-long / 2).Digits(), wide.Digits(), long.Digits())
}

// cell places a picture of an artwork as one rectangle, filled with a pattern that
// all stations share which show the same part of it, the same way round.
func (s svg) cell(p draw.Place) {
	b, box := p.Clip.Box()
	if !box {
		s.group()
		s.use("art", p)
		return
	}
	c := p.Trim.Centre()
	size := p.Trim.Size().Turned(p.Turn)
	wide, long := size.Across+2*s.o.Bleed, size.Around+2*s.o.Bleed
	key := fmt.Sprint(p.Art, p.Turn, b.Min.Across-c.Across, b.Min.Around-c.Around, b.Size(), size)
	n, known := s.cells[key]
	if !known {
		n = len(s.cells) + 1
		s.cells[key] = n
		fmt.Fprintf(s, `<pattern id="cell%d" width="1" height="1" viewBox="%s %s %s %s"><use href="#art%d" transform="rotate(%d) translate(%s %s) scale(%s %s)"/></pattern>`+"\n",
			n, (b.Min.Across - c.Across).Digits(), (b.Min.Around - c.Around).Digits(), b.Size().Across.Digits(), b.Size().Around.Digits(),
			p.Art+1, -p.Turn.Degrees(), (-wide / 2).Digits(), (-long / 2).Digits(), wide.Digits(), long.Digits())
	}
	station := ""
	if *s.name != "" {
		station = fmt.Sprintf(` class="station" id="%s"`, *s.name)
	}
	fmt.Fprintf(s, `<rect%s x="%s" y="%s" width="%s" height="%s" fill="url(#cell%d)"/>`+"\n", station,
		b.Min.Across.Digits(), b.Min.Around.Digits(), b.Size().Across.Digits(), b.Size().Around.Digits(), n)
}
