package contour

import (
	"bufio"
	"fmt"
	"html"
	"io"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/say"
)

// Difference is where the line that a die cuts leaves the label's: both as they
// lie on each other, and the place where they are farthest apart.
type Difference struct {
	Label, Die outline.Outline
	At         geometry.Position
	Off        geometry.Length
	Names      [2]string // of the label and of the die
}

// WriteDifference draws both lines on each other as an SVG in millimetres, the
// label's in black and the die's in red, and beside them the place where they
// differ most, enlarged.
func WriteDifference(w io.Writer, d Difference) error {
	b := bufio.NewWriter(w)
	box := d.Label.Bounds().Union(d.Die.Bounds())
	const margin, caption = 5 * geometry.Millimetre, 14 * geometry.Millimetre
	side := max(box.Size().Around, 60*geometry.Millimetre)
	window := max(8*d.Off, geometry.Millimetre) // what the enlargement shows
	zoom := side.MM() / window.MM()
	width, height := box.Size().Across+side+3*margin, side+2*margin+caption
	fmt.Fprintf(b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %[1]s %[2]s\">\n", width.Digits(), height.Digits())
	fmt.Fprintf(b, "<rect width=\"100%%\" height=\"100%%\" fill=\"white\"/>\n")
	lines := func(stroke float64) {
		for _, l := range [...]struct {
			o      outline.Outline
			colour string
		}{{d.Label, "black"}, {d.Die, "#d00000"}} {
			fmt.Fprintf(b, "<path fill=\"none\" stroke=\"%s\" stroke-width=\"%s\" d=\"", l.colour, decimal(stroke, 6))
			for _, c := range l.o.Contours() {
				writeContour(b, c)
			}
			b.WriteString("\"/>\n")
		}
	}
	mm := func(l geometry.Length) string { return l.Digits() }
	fmt.Fprintf(b, "<g transform=\"translate(%s %s)\">\n", mm(margin-box.Min.Across), mm(margin-box.Min.Around))
	lines(0.2)
	half := window / 2
	fmt.Fprintf(b, "<rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%[3]s\" fill=\"none\" stroke=\"#0060c0\" stroke-width=\"0.3\"/>\n</g>\n",
		mm(d.At.Across-half), mm(d.At.Around-half), mm(window))
	left := box.Size().Across + 2*margin
	fmt.Fprintf(b, "<svg x=\"%s\" y=\"%s\" width=\"%s\" height=\"%[3]s\" viewBox=\"%s %s %s %[6]s\">\n",
		mm(left), mm(margin), mm(side), mm(d.At.Across-half), mm(d.At.Around-half), mm(window))
	lines(0.4 / zoom)
	fmt.Fprintf(b, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\" fill=\"#0060c0\"/>\n</svg>\n", mm(d.At.Across), mm(d.At.Around), decimal(0.8/zoom, 6))
	fmt.Fprintf(b, "<rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%[3]s\" fill=\"none\" stroke=\"#0060c0\" stroke-width=\"0.3\"/>\n", mm(left), mm(margin), mm(side))
	for i, line := range [...]string{d.Names[0] + " (black), " + d.Names[1] + " (red)", fmt.Sprintf("they differ by %s mm here, shown %s times as large", say.Fixed(d.Off.MM(), 2), say.Fixed(zoom, 0))} {
		fmt.Fprintf(b, "<text x=\"%s\" y=\"%s\" font-family=\"sans-serif\" font-size=\"4\">%s</text>\n",
			mm(margin), mm(side+2*margin+geometry.Length(4+5*i)*geometry.Millimetre), html.EscapeString(line))
	}
	b.WriteString("</svg>\n")
	return b.Flush() // the first error sticks in the writer
}
