package contour

import (
	"math"

	"quoin/geometry"
)

// block is a part of a drawing that INSERT places.
type block struct {
	record
	parts []entity
}

// Limits of blocks: how deep they may lie in each other, and the copies that one
// INSERT may make.
const (
	mostBlocksDeep = 16
	mostCopies     = 10_000
)

// block reads a definition up to its ENDBLK.
func (x *dxf) block() error {
	b := &block{record: x.record()}
	for x.at < len(x.tags) && x.tags[x.at].value != "ENDBLK" {
		if t := x.tags[x.at]; t.value == "ENDSEC" || t.value == "EOF" {
			return refuse(t.line, "the file is damaged: export it again", "the block %q has no end", clip(b.name2()))
		}
		b.parts = append(b.parts, x.entity())
	}
	x.blocks[key(b.name2())] = b
	return nil
}

// insert is where a block is drawn.
type insert struct {
	to    transform // from the block's coordinates to nanometres as seen
	layer string
	block *block
	outer *insert
}

// scale returns the transform of the model: the drawing's y runs upwards.
func (x *dxf) scale() (transform, error) {
	if x.unit == 0 {
		return identity, refuse(0, "name the unit, as in mm or in: R12 files have none, later ones have $INSUNITS", "the drawing does not say its unit")
	}
	if x.unit > geometry.Metre {
		return identity, refuse(0, "drawings of dies are in mm or in", "a unit of %s is impossible", x.unit)
	}
	return scaled(float64(x.unit), -float64(x.unit)), nil
}

// place sets the transform of what stands in the model or in a block.
func (x *dxf) place(in *insert) (err error) {
	if in != nil {
		x.pen.to = in.to
		return nil
	}
	x.pen.to, err = x.scale()
	return err
}

// flat sets the transform of an entity that may lie on the back of the plane,
// where x runs the other way.
func (x *dxfPen) flat(r record) error {
	side, err := r.plane()
	if err == nil && side < 0 {
		x.to = x.to.after(scaled(-1, 1))
	}
	return err
}

// insert draws a block: moved by its base, scaled, turned, and set at its place,
// once or in columns and rows (codes 41, 42, 50; 70, 71, 44 and 45).
func (x *dxf) insert(e entity, on string, in *insert) error {
	name := e.name2()
	b := x.blocks[key(name)]
	if b == nil && x.options.Only != "" {
		x.pen.drawing.skip(byName("INSERT of a block that the file doesn't hold"))
		return nil
	}
	if b == nil {
		return refuse(e.line, "export the drawing again, with all that it refers to", "the block %q is inserted here, and the file doesn't hold it", clip(name))
	}
	depth := 0
	for o := in; o != nil; o = o.outer {
		if depth++; o.block == b || depth > mostBlocksDeep {
			return refuse(e.line, "explode the blocks before the export", "the block %q holds itself, or lies too deep in others", clip(name))
		}
	}
	if err := x.place(in); err != nil {
		return err
	}
	if err := x.pen.flat(e.record); err != nil {
		return err
	}
	outer := x.pen.to
	var v [11]float64
	for i, c := range [...]int{10, 20, 41, 42, 50, 70, 71, 44, 45} {
		missing := [...]float64{0, 0, 1, 1, 0, 1, 1, 0, 0}[i]
		n, err := e.number(c, missing)
		if err != nil {
			return err
		}
		v[i] = n
	}
	for i, c := range [...]int{10, 20} {
		n, err := b.number(c, 0)
		if err != nil {
			return err
		}
		v[9+i] = n
	}
	columns, rows := max(v[5], 1), max(v[6], 1)
	if v[2] == 0 || v[3] == 0 {
		return refuse(e.line, "give it a scale, or remove it", "the block %q is inserted with the scale 0", clip(name))
	}
	if columns*rows > mostCopies {
		return refuse(e.line, "draw one frame of the die only", "the block %q is inserted %g times, and %d are possible", clip(name), columns*rows, mostCopies)
	}
	sin, cos := math.Sincos(v[4] * math.Pi / 180)
	turned := outer.after(transform{cos, sin, -sin, cos, v[0], v[1]})
	for row := range int(rows) {
		for column := range int(columns) {
			at := transform{a: 1, d: 1, e: float64(column) * v[7], f: float64(row) * v[8]}
			to := turned.after(at).after(scaled(v[2], v[3])).after(transform{a: 1, d: 1, e: -v[9], f: -v[10]})
			inner := &insert{to: to, layer: on, block: b, outer: in}
			for _, part := range b.parts {
				if err := x.draw(part, inner); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
