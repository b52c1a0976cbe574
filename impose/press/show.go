package press

import "quoin/impose/draw"

// font chooses a font at a size of one unit, which the text matrix scales.
func (c *ops) font(number int, f *draw.Font) {
	c.named(fontName(number), "1 Tf")
	if f.Leading != 0 {
		c.op("TL", float64(f.Leading)/float64(f.Em))
	}
}

// show writes a text and notes its glyphs.
func (c *ops) show(t *draw.Text, p page, used *glyphSet) {
	m := p.textMatrix(t)
	c.op("Tm", m[:]...)
	if t.Set != nil {
		c.showSet(t, used)
		return
	}
	line := t.Line
	if line <= 0 {
		line = len(t.Codes)
	}
	for i := 0; i < len(t.Codes); i += line {
		end := min(i+line, len(t.Codes))
		c.buf = append(c.buf, '(')
		for _, code := range t.Codes[i:end] {
			used.add(code)
			switch code {
			case '(', ')', '\\':
				c.buf = append(c.buf, '\\', code)
			case '\r': // as it is, it would be read as a line feed
				c.buf = append(c.buf, '\\', 'r')
			default:
				c.buf = append(c.buf, code)
			}
		}
		if i == 0 {
			c.buf = append(c.buf, ")Tj\n"...)
		} else {
			c.buf = append(c.buf, ")'\n"...)
		}
	}
}
