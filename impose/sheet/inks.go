package sheet

import (
	"strconv"

	"quoin/impose/sheet/typeset"
)

// inks shows the printing inks in their order, numbered, and below
// them what is seen in the artworks but not printed.
type inks struct {
	list   []Ink
	silent []Ink
}

const inkHeight, inkGap = 30.0, 5.0

// across returns how many inks stand beside each other.
func (x inks) across() int { return min(max(len(x.list), 1), 4) }

func (x inks) note() words {
	text := ""
	for i, k := range x.silent {
		if i > 0 {
			text += ", "
		}
		text += k.Name + " (" + k.Kind + ")"
	}
	if text == "" {
		return words{style: plain(body)}
	}
	return words{text: "Not printed: " + text, style: plain(body)}
}

func (x inks) height(d *typeset.Document, width, k float64) float64 {
	rows := (len(x.list) + x.across() - 1) / x.across()
	return float64(rows)*(inkHeight+inkGap)*k + x.note().height(d, width, k)
}

func (x inks) draw(d *typeset.Document, at typeset.Box, k float64) {
	wide := (at.W - inkGap*k*float64(x.across()-1)) / float64(x.across())
	for i, ink := range x.list {
		b := typeset.Box{
			X: at.X + float64(i%x.across())*(wide+inkGap*k), Y: at.Y + float64(i/x.across())*(inkHeight+inkGap)*k,
			W: wide, H: inkHeight * k,
		}
		x.ink(d, b, i+1, ink, k)
	}
	rest := x.note().height(d, at.W, k)
	x.note().draw(d, typeset.Box{X: at.X, Y: at.Bottom() - rest, W: at.W, H: rest}, k)
}

func (x inks) ink(d *typeset.Document, b typeset.Box, n int, ink Ink, k float64) {
	d.Pen(0.8)
	d.Rect(b)
	number := typeset.Box{X: b.X, Y: b.Y, W: b.H, H: b.H}
	d.Fill(number, 0)
	d.Grey(1)
	d.Sign(strconv.Itoa(n), bold(18*k), number.X+number.W/2, number.Y+number.H/2, 0)
	d.Grey(0)
	text := typeset.Box{X: number.Right() + 4*k, Y: b.Y + k, W: b.W - number.W - 6*k, H: 0.62 * b.H}
	one(d, ink.Name, bold(14*k), text, typeset.Left)
	text.Y, text.H = text.Bottom(), b.H-text.H-2*k
	one(d, ink.Kind, plain(9*k), text, typeset.Left)
}
