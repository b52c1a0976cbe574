package contour

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// Sheet is a drawing to write: a frame, or a single label.
type Sheet struct {
	Size   geometry.Size // of the frame; the drawing's own lower left corner is that of the frame
	Layers []Layer
}

// Layer is a named group of outlines, in the order in which they are written.
type Layer struct {
	Name     string
	Outlines []outline.Outline
}

// Names of layers as die makers and lasers know them (common practice, no
// source). R12 files have no unit, so the name says it.
const (
	Cut   = "CUT_MM"
	Frame = "FRAME_MM"
)

// unitComment says the unit in a file of a release that has no place for it.
const unitComment = "all lengths in millimetres"

// WriteDXF writes a text DXF of release R12 in millimetres, y upwards from the
// frame's trailing end, so that the drawing looks like the printed face with
// the web's travel pointing up. Every contour is one closed polyline; arcs keep
// their bulge, curves become lines that stray from them by at most
// outline.Flatness.
func WriteDXF(w io.Writer, s Sheet) error {
	if err := s.check(); err != nil {
		return err
	}
	d := &dxfWriter{w: bufio.NewWriter(w), height: s.Size.Around}
	d.tag(999, unitComment)
	d.section("HEADER")
	d.tag(9, "$ACADVER")
	d.tag(1, "AC1009")
	d.tag(9, "$EXTMIN")
	d.point(geometry.Position{Around: s.Size.Around})
	d.tag(9, "$EXTMAX")
	d.point(geometry.Position{Across: s.Size.Across})
	d.tag(0, "ENDSEC")
	d.tables(s.Layers)
	d.section("ENTITIES")
	for _, l := range s.Layers {
		for _, o := range l.Outlines {
			for _, c := range o.Contours() {
				d.contour(l.Name, c)
			}
		}
	}
	d.tag(0, "ENDSEC")
	d.tag(0, "EOF")
	return d.w.Flush() // the first error sticks in the writer
}

// check refuses what no reader would take.
func (s *Sheet) check() error {
	for _, l := range s.Layers {
		// R12: up to 31 letters, digits, $, - and _.
		if l.Name == "" || len(l.Name) > 31 || strings.Trim(l.Name, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789$-_") != "" {
			return fmt.Errorf("%q can't name a layer: 1 to 31 letters, digits, $, - and _ do", l.Name)
		}
	}
	return nil
}

type dxfWriter struct {
	w      *bufio.Writer
	height geometry.Length
}

func (d *dxfWriter) tag(code int, value string) {
	d.w.WriteString(strconv.Itoa(code))
	d.w.WriteByte('\n')
	d.w.WriteString(value)
	d.w.WriteByte('\n')
}

func (d *dxfWriter) section(name string) {
	d.tag(0, "SECTION")
	d.tag(2, name)
}

// point writes a place; the height turns Around, downwards, into y, upwards.
func (d *dxfWriter) point(p geometry.Position) {
	d.tag(10, p.Across.Digits())
	d.tag(20, (d.height - p.Around).Digits())
}

func (d *dxfWriter) tables(layers []Layer) {
	d.section("TABLES")
	d.tag(0, "TABLE")
	d.tag(2, "LTYPE")
	d.tag(70, "1")
	d.tag(0, "LTYPE")
	d.tag(2, "CONTINUOUS")
	d.tag(70, "0")
	d.tag(3, "Solid line")
	d.tag(72, "65")
	d.tag(73, "0")
	d.tag(40, "0")
	d.tag(0, "ENDTAB")
	d.tag(0, "TABLE")
	d.tag(2, "LAYER")
	d.tag(70, strconv.Itoa(len(layers)))
	for i, l := range layers {
		d.tag(0, "LAYER")
		d.tag(2, l.Name)
		d.tag(70, "0")
		d.tag(62, strconv.Itoa(i%7+1))
		d.tag(6, "CONTINUOUS")
	}
	d.tag(0, "ENDTAB")
	d.tag(0, "ENDSEC")
}

func (d *dxfWriter) contour(layer string, c outline.Contour) {
	d.tag(0, "POLYLINE")
	d.tag(8, layer)
	d.tag(66, "1")
	d.point(geometry.Position{Around: d.height})
	d.tag(30, "0")
	d.tag(70, strconv.Itoa(polylineClosed))
	from := c.Start
	for _, s := range c.Segments {
		if s.Curve {
			corners := s.Flatten(from, outline.Flatness)
			for _, p := range append([]geometry.Position{from}, corners[:len(corners)-1]...) {
				d.vertex(layer, p, 0)
			}
		} else {
			d.vertex(layer, from, -s.Bulge) // y runs the other way
		}
		from = s.To
	}
	d.tag(0, "SEQEND")
	d.tag(8, layer)
}

func (d *dxfWriter) vertex(layer string, p geometry.Position, bulge float64) {
	d.tag(0, "VERTEX")
	d.tag(8, layer)
	d.point(p)
	d.tag(30, "0")
	if bulge != 0 {
		d.tag(42, decimal(bulge, 12))
	}
}
