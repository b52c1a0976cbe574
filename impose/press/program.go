package press

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"unicode/utf16"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
)

// writeProgram embeds the glyphs of a customer's font that were used (ISO 32000-1
// 9.7 and 9.9): a CIDFont whose CIDs are the numbers of the font's own glyphs.
func (f *font) writeProgram(out *pdfobj.Writer) error {
	numbers := f.used.list()
	glyphs := map[uint16]draw.Glyph{}
	var box geometry.Box
	for _, n := range numbers {
		glyphs[n] = f.Program.Glyph(n)
		if b := glyphs[n].Path.Bounds(); len(glyphs[n].Path.Points) > 0 {
			box = box.Union(b)
		}
	}
	name := subsetName(f.Name, numbers)
	program := cff(name, f.Em, numbers, func(n uint16) draw.Glyph { return glyphs[n] })
	file, descriptor, cid := out.Alloc(), out.Alloc(), out.Alloc()
	if err := fillStream(out, file, pdfobj.Dict{"Subtype": pdfobj.Name("CIDFontType0C")}, program, true); err != nil {
		return err
	}
	thousandths := func(l geometry.Length) pdfobj.Object { return pdfobj.Real(round(float64(l) * 1000 / float64(f.Em))) }
	x0, y1 := box.Min.Across, -box.Min.Around
	x1, y0 := box.Max.Across, -box.Max.Around
	const symbolic = 4
	if err := out.Put(descriptor, pdfobj.Dict{
		"Type": pdfobj.Name("FontDescriptor"), "FontName": pdfobj.Name(name), "Flags": pdfobj.Integer(symbolic),
		"FontBBox":    pdfobj.Array{thousandths(x0), thousandths(y0), thousandths(x1), thousandths(y1)},
		"ItalicAngle": pdfobj.Integer(0), "Ascent": thousandths(y1), "Descent": thousandths(y0), "CapHeight": thousandths(f.Cap),
		"StemV": pdfobj.Integer(80), "FontFile3": file,
	}); err != nil {
		return err
	}
	var widths pdfobj.Array
	for i := 0; i < len(numbers); {
		var row pdfobj.Array
		first := numbers[i]
		for ; i < len(numbers) && int(numbers[i]) == int(first)+len(row); i++ {
			row = append(row, thousandths(glyphs[numbers[i]].Advance))
		}
		widths = append(widths, pdfobj.Integer(first), row)
	}
	if err := out.Put(cid, pdfobj.Dict{
		"Type": pdfobj.Name("Font"), "Subtype": pdfobj.Name("CIDFontType0"), "BaseFont": pdfobj.Name(name),
		"CIDSystemInfo":  pdfobj.Dict{"Registry": pdfobj.String("Adobe"), "Ordering": pdfobj.String("Identity"), "Supplement": pdfobj.Integer(0)},
		"FontDescriptor": descriptor, "DW": pdfobj.Integer(0), "W": widths,
	}); err != nil {
		return err
	}
	meanings, err := putStream(out, pdfobj.Dict{}, f.letters(numbers), true)
	if err != nil {
		return err
	}
	return out.Put(f.ref, pdfobj.Dict{
		"Type": pdfobj.Name("Font"), "Subtype": pdfobj.Name("Type0"), "BaseFont": pdfobj.Name(name + "-Identity-H"),
		"Encoding": pdfobj.Name("Identity-H"), "DescendantFonts": pdfobj.Array{cid}, "ToUnicode": meanings,
	})
}

// subsetName puts six letters before the font's name that stand for the glyphs
// chosen (ISO 32000-1 9.6.4).
func subsetName(font string, numbers []uint16) string {
	h := sha256.New()
	fmt.Fprint(h, font, numbers)
	sum := h.Sum(nil)
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + sum[i]%26
	}
	plain := strings.Map(func(r rune) rune {
		if r < 0x80 && (r == '-' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z') {
			return r
		}
		return -1
	}, font)
	plain = cmp.Or(plain, "Font")
	return string(tag) + "+" + plain
}

// letters returns the ToUnicode map of the glyphs.
func (f *font) letters(numbers []uint16) []byte {
	var lines [][]byte
	for _, n := range numbers {
		if says := f.Program.Says(n); says != "" {
			lines = append(lines, fmt.Appendf(nil, "<%04X> <%s>\n", n, utf16Hex(says)))
		}
	}
	b := []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	const most = 100 // in a block, by the format
	for part := range slices.Chunk(lines, most) {
		b = fmt.Appendf(b, "%d beginbfchar\n%sendbfchar\n", len(part), bytes.Join(part, nil))
	}
	return append(b, "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"...)
}

func utf16Hex(text string) []byte {
	var b []byte
	for _, u := range utf16.Encode([]rune(text)) {
		b = fmt.Appendf(b, "%04X", u)
	}
	return b
}

// showSet writes the glyphs of a shaped line. What the font's own map doesn't say
// of them stands beside them as their actual text (ISO 32000-1 14.9.4).
func (c *ops) showSet(t *draw.Text, used *glyphSet) {
	var pen, rise geometry.Length // where the reader's pen is
	open := false
	shut := func() {
		if open {
			c.buf = append(c.buf, "]TJ\n"...)
			open = false
		}
	}
	for i := 0; i < len(t.Set); {
		end := i + 1
		for end < len(t.Set) && t.Set[end].Says == "" {
			end++
		}
		says := t.Set[i].Says
		apart := says != "" && (end > i+1 || t.Font.Program.Says(t.Set[i].Glyph) != says)
		if apart {
			shut()
			c.buf = append(append(append(c.buf, "/Span<</ActualText<FEFF"...), utf16Hex(says)...), ">>>BDC\n"...)
		}
		for _, s := range t.Set[i:end] {
			if s.At.Around != rise {
				shut()
				rise = s.At.Around
				c.op("Ts", -float64(rise)/float64(t.Font.Em))
			}
			if !open {
				c.buf, open = append(c.buf, '['), true
			}
			if s.At.Across != pen {
				c.buf = appendNumber(c.buf, float64(pen-s.At.Across)*1000/float64(t.Font.Em))
			}
			const hex = "0123456789ABCDEF"
			n := s.Glyph
			c.buf = append(c.buf, '<', hex[n>>12], hex[n>>8&15], hex[n>>4&15], hex[n&15], '>')
			used.number(n)
			pen = s.At.Across + t.Font.Program.Glyph(n).Advance
		}
		if apart {
			shut()
			c.buf = append(c.buf, "EMC\n"...)
		}
		i = end
	}
	shut()
	if rise != 0 {
		c.op("Ts", 0)
	}
}
