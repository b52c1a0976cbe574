package contour

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// WriteSVG writes an SVG in millimetres, one group for each layer and one path
// for each outline, seen as the printed face with the web's travel pointing up.
// Lines, arcs and curves stay what they are, to the nanometre. The stroke is a
// hairline that only shows where the cut runs.
func WriteSVG(w io.Writer, s Sheet) error {
	if err := s.check(); err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	width, height := s.Size.Across.Digits(), s.Size.Around.Digits()
	fmt.Fprintf(b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n", width, height, width, height)
	for _, l := range s.Layers {
		fmt.Fprintf(b, "<g id=%q fill=\"none\" stroke=\"black\" stroke-width=\"0.1\" stroke-linejoin=\"round\">\n", l.Name)
		for _, o := range l.Outlines {
			b.WriteString("<path d=\"")
			for _, c := range o.Contours() {
				writeContour(b, c)
			}
			b.WriteString("\"/>\n")
		}
		b.WriteString("</g>\n")
	}
	b.WriteString("</svg>\n")
	return b.Flush() // the first error sticks in the writer
}

func writeContour(b *bufio.Writer, c outline.Contour) {
	xy := func(p geometry.Position) string { return p.Across.Digits() + " " + p.Around.Digits() }
	fmt.Fprintf(b, "M%s", xy(c.Start))
	from := c.Start
	for _, s := range c.Segments {
		switch {
		case s.Curve:
			fmt.Fprintf(b, "C%s %s %s", xy(s.C1), xy(s.C2), xy(s.To))
		case s.Bulge != 0:
			chord := math.Hypot(float64(s.To.Across-from.Across), float64(s.To.Around-from.Around)) / float64(geometry.Millimetre)
			r := decimal(chord*(1+s.Bulge*s.Bulge)/(4*math.Abs(s.Bulge)), 9)
			fmt.Fprintf(b, "A%s %s 0 %d %d %s", r, r, bit(math.Abs(s.Bulge) > 1), bit(s.Bulge > 0), xy(s.To))
		default:
			fmt.Fprintf(b, "L%s", xy(s.To))
		}
		from = s.To
	}
	b.WriteString("Z")
}

// decimal writes a coordinate or a figure of a drawing, which programs read: not for
// sentences.
func decimal(v float64, places int) string {
	s := strconv.FormatFloat(v, 'f', places, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

func bit(b bool) int {
	if b {
		return 1
	}
	return 0
}
