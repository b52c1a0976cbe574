package preview

import (
	"bufio"
	"fmt"
	"html"
	"strings"
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
	s := svg{bufio.NewWriter(w), o}
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
	o Options
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
	key := "id"
	if class == "layer" {
		key = "data-layer"
	}
	fmt.Fprintf(s, `<g class="%s" %s="%s">`+"\n", class, key, name)
}

func (s svg) end() { s.WriteString("</g>\n") }

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
		return false
	}
	if p.Art < len(s.o.Whites) && s.o.Whites[p.Art] != "" {
		s.begin("layer", string(draw.White))
		s.use("white", p)
		s.end()
	}
	if !s.o.Film && s.o.Inline { // a page shows thousands of them, and each element costs it time
		s.use("art", p)
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
	element := fmt.Sprintf(`use href="#%s%d"`, picture, p.Art+1)
	if address := s.o.Pictures[p.Art]; picture == "art" && s.o.Inline && !strings.HasPrefix(address, "data:") {
		element = fmt.Sprintf(`image width="1" height="1" preserveAspectRatio="none" href="%s"`, html.EscapeString(address))
	}
	fmt.Fprintf(s, `<svg x="%s" y="%s" width="%s" height="%s" viewBox="%[1]s %[2]s %[3]s %[4]s"><%s transform="translate(%s %s) rotate(%d) translate(%s %s) scale(%s %s)"/></svg>`+"\n",
		b.Min.Across.Digits(), b.Min.Around.Digits(), b.Size().Across.Digits(), b.Size().Around.Digits(),
		element, c.Across.Digits(), c.Around.Digits(), -p.Turn.Degrees(), (-wide / 2).Digits(), (-long / 2).Digits(), wide.Digits(), long.Digits())
}
