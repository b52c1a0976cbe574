package preview

import (
	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
)

// place shows an artwork of which there is no picture: how far it is printed,
// its trim, its name and where its top is.
func place(c canvas, p draw.Place, name string) error {
	c.fill(p.Clip, "#eef2f5", false)
	if _, box := p.Clip.Box(); box {
		trim := draw.Rectangle(p.Trim)
		c.fill(trim, "#ffffff", false)
		c.stroke(trim, outline, 200*geometry.Micrometre, false)
	} else {
		// The trim of a shaped label is no rectangle: how far it prints is all
		// that is known here.
		c.stroke(p.Clip, outline, 200*geometry.Micrometre, false)
	}
	size := p.Trim.Size()
	height := min(size.Across, size.Around) / 8
	text, err := lettering.Regular().Set(name, height, geometry.Turn0)
	if err != nil {
		return err
	}
	m := p.Trim.Centre()
	c.fill(text.At(geometry.Position{Across: m.Across - text.Width/2, Around: m.Around - height/2}), outline, false)
	c.fill(arrow(p.Trim, p.Turn, height), outline, false)
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
