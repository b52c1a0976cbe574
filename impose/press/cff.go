package press

import (
	"encoding/binary"
	"math"
	"strconv"

	"quoin/geometry"
	"quoin/impose/draw"
)

// cff writes the glyphs of a font as a bare CFF program whose CIDs are the
// numbers of the font's own glyphs (Adobe Technical Notes 5176, the format, and
// 5177, the charstrings). It has outlines and widths and no hints: a platesetter's
// or press's pixels are finer than hints are made for.
func cff(name string, em geometry.Length, numbers []uint16, glyph func(uint16) draw.Glyph) []byte {
	programs := make([][]byte, 1, len(numbers)+1)
	programs[0] = charstring(draw.Glyph{}) // .notdef
	charset := []byte{0}
	last := uint16(0)
	for _, n := range numbers {
		programs = append(programs, charstring(glyph(n)))
		charset = binary.BigEndian.AppendUint16(charset, n)
		last = n
	}
	selects := []byte{3, 0, 1, 0, 0, 0}
	selects = binary.BigEndian.AppendUint16(selects, uint16(len(programs)))
	private := cffOp(cffInt(nil, 0), 20) // defaultWidthX

	// Offsets take five bytes whatever they are, so that two rounds settle them.
	var charsetAt, selectAt, stringsAt, dictAt, privateAt int
	var out []byte
	for range 2 {
		top := cffOp(cffInt(cffInt(cffInt(nil, 391), 392), 0), 12, 30) // ROS: Adobe, Identity, 0
		scale := 1 / float64(em)
		for _, v := range []float64{scale, 0, 0, scale, 0, 0} {
			top = cffReal(top, v)
		}
		top = cffOp(top, 12, 7) // FontMatrix
		top = cffOp(cffInt(top, int(last)+1), 12, 34)
		top = cffOp(cffInt(top, charsetAt), 15)
		top = cffOp(cffInt(top, selectAt), 12, 37)
		top = cffOp(cffInt(top, stringsAt), 17)
		top = cffOp(cffInt(top, dictAt), 12, 36)
		out = append(out[:0], 1, 0, 4, 4)
		out = cffIndex(out, []byte(name))
		out = cffIndex(out, top)
		out = cffIndex(out, []byte("Adobe"), []byte("Identity"))
		out = cffIndex(out) // global subroutines
		charsetAt = len(out)
		out = append(out, charset...)
		selectAt = len(out)
		out = append(out, selects...)
		stringsAt = len(out)
		out = cffIndex(out, programs...)
		dictAt = len(out)
		out = cffIndex(out, cffOp(cffInt(cffInt(nil, len(private)), privateAt), 18))
		privateAt = len(out)
		out = append(out, private...)
	}
	return out
}

// cffIndex writes an INDEX of byte strings.
func cffIndex(b []byte, items ...[]byte) []byte {
	b = binary.BigEndian.AppendUint16(b, uint16(len(items)))
	if len(items) == 0 {
		return b
	}
	b = append(b, 4)
	at := uint32(1)
	b = binary.BigEndian.AppendUint32(b, at)
	for _, it := range items {
		at += uint32(len(it))
		b = binary.BigEndian.AppendUint32(b, at)
	}
	for _, it := range items {
		b = append(b, it...)
	}
	return b
}

func cffInt(b []byte, v int) []byte { return binary.BigEndian.AppendUint32(append(b, 29), uint32(v)) }

func cffOp(b []byte, op ...byte) []byte { return append(b, op...) }

// cffReal writes a number as digits of half a byte each.
func cffReal(b []byte, v float64) []byte {
	var nibbles []byte
	for _, c := range strconv.FormatFloat(v, 'f', -1, 64) {
		if c == '.' {
			nibbles = append(nibbles, 10)
		} else {
			nibbles = append(nibbles, byte(c-'0'))
		}
	}
	for nibbles = append(nibbles, 15); len(nibbles)%2 != 0; {
		nibbles = append(nibbles, 15)
	}
	b = append(b, 30)
	for i := 0; i < len(nibbles); i += 2 {
		b = append(b, nibbles[i]<<4|nibbles[i+1])
	}
	return b
}

// charstring writes a glyph's width and outline, whose coordinates are whole.
func charstring(g draw.Glyph) []byte {
	const moveTo, lineTo, curveTo, end = 21, 5, 8, 14
	var b []byte
	number := func(v geometry.Length) {
		if v >= -107 && v <= 107 {
			b = append(b, byte(v+139))
			return
		}
		v = min(max(v, math.MinInt16), math.MaxInt16)
		b = append(b, 28, byte(v>>8), byte(v))
	}
	if g.Advance != 0 { // what is not said is 0
		number(g.Advance)
	}
	var at geometry.Position
	step := func(q geometry.Position) {
		number(q.Across - at.Across)
		number(at.Around - q.Around) // y grows up
		at = q
	}
	points := g.Path.Points
	for _, v := range g.Path.Verbs {
		n := v.Points()
		for _, q := range points[:n] {
			step(q)
		}
		points = points[n:]
		switch v {
		case draw.MoveTo:
			b = append(b, moveTo)
		case draw.LineTo:
			b = append(b, lineTo)
		case draw.CurveTo:
			b = append(b, curveTo)
		}
	}
	return append(b, end)
}
