package fit

import (
	"fmt"
	"html"
	"io"
	"math"
	"slices"
	"strings"

	"quoin/impose/say"
)

// The plot's measures, in pixels.
const (
	plotWide, plotLeft, plotRight = 840.0, 78.0, 44.0
	panelTall, panelGap           = 230.0, 64.0
	legendRow, legendTop          = 20.0, 52.0
)

// plotted is how many options are drawn: more lines can't be told apart.
const plotted = 6

// strokes tell the lines apart by colour, and by their dashes in black and
// white and for eyes that see colours otherwise.
var strokes = [plotted][2]string{
	{"#0b6e4f", ""}, {"#c1440e", "9 4"}, {"#1f4e9e", "3 3"}, {"#8a2a83", "12 3 3 3"}, {"#6b6b00", "6 6"}, {"#444444", "1 4"},
}

// Plot draws, as SVG, what the best options cost over the quantity, and below
// it how much more each costs than the best one there: so break-evens are seen
// where lines reach the ground. Frames are not rounded up.
func (c *Comparison) Plot(w io.Writer) error {
	p := plot{c: c, drawn: c.chosen()}
	p.most = p.reach()
	top := legendTop + legendRow*math.Ceil(float64(len(p.drawn))/2) + 34
	tall := top + 2*panelTall + panelGap + 52
	fmt.Fprintf(&p.b, `<svg xmlns="http://www.w3.org/2000/svg" width="%g" height="%g" viewBox="0 0 %g %g" font-family="sans-serif" font-size="13">`+"\n", plotWide, tall, plotWide, tall)
	p.b.WriteString(`<rect width="100%" height="100%" fill="white"/>` + "\n")
	p.text(plotLeft, 26, "start", `font-size="17" font-weight="bold"`, fmt.Sprintf("%s over quantity, labels of %s x %s mm",
		strings.ToUpper(c.Measure[:1])+c.Measure[1:], say.Digits(c.LabelMM[0]), say.Digits(c.LabelMM[1])))
	p.legend()
	p.panel(top, c.Measure+" in "+c.Unit, "ordered "+say.Number(c.Quantity), func(l line, q float64) float64 { return l.at(q) })
	p.panel(top+panelTall+panelGap, "more than the best, in "+c.Unit, "", func(l line, q float64) float64 { return l.at(q) - p.least(q) })
	p.text((plotLeft+plotWide-plotRight)/2, tall-12, "middle", "", "labels ordered")
	p.b.WriteString("</svg>\n")
	_, err := io.WriteString(w, p.b.String())
	return err
}

// chosen returns the options worth drawing: all that are best somewhere, then the
// next in rank.
func (c *Comparison) chosen() []*Option {
	var drawn []*Option
	add := func(n int) {
		if o := &c.Options[n-1]; len(drawn) < plotted && !slices.Contains(drawn, o) {
			drawn = append(drawn, o)
		}
	}
	for _, s := range c.Best {
		add(s.Option)
	}
	for i := range c.Options {
		add(i + 1)
	}
	return drawn
}

type plot struct {
	c     *Comparison
	drawn []*Option
	most  float64 // labels at the right end
	b     strings.Builder
}

// reach returns the right end: twice the order, or as far as the last change of
// the best option where that is near.
func (p *plot) reach() float64 {
	most := 2 * float64(p.c.Quantity)
	for _, s := range p.c.Best {
		if to := 1.3 * float64(s.To); to < 20*float64(p.c.Quantity) {
			most = max(most, to)
		}
	}
	return most
}

// least returns what the best option costs.
func (p *plot) least(q float64) float64 {
	least := math.Inf(1)
	for _, o := range p.drawn {
		least = min(least, o.line.at(q))
	}
	return least
}

func (p *plot) x(q float64) float64 {
	return plotLeft + q/p.most*(plotWide-plotLeft-plotRight)
}

func (p *plot) text(x, y float64, anchor, style, s string) {
	fmt.Fprintf(&p.b, `<text x="%.1f" y="%.1f" text-anchor="%s" %s>%s</text>`+"\n", x, y, anchor, style, html.EscapeString(s))
}

func (p *plot) rule(x1, y1, x2, y2 float64, style string) {
	fmt.Fprintf(&p.b, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" %s/>`+"\n", x1, y1, x2, y2, style)
}

func stroke(i int) string {
	return fmt.Sprintf(`stroke="%s" stroke-width="2" stroke-dasharray="%s" fill="none"`, strokes[i][0], strokes[i][1])
}

func (p *plot) legend() {
	half := (plotWide - plotLeft - plotRight) / 2
	for i, o := range p.drawn {
		x, y := plotLeft+half*float64(i%2), legendTop+legendRow*float64(i/2)
		p.rule(x, y-4, x+34, y-4, stroke(i))
		p.text(x+42, y, "start", "", fmt.Sprintf("%d: %s, web %s mm, turned %d", o.Number, say.Shortened(o.Called(), 24), say.Digits(o.WebMM), o.TurnDeg))
	}
}

// panel draws one pair of axes with all lines.
func (p *plot) panel(top float64, title, order string, value func(line, float64) float64) {
	const steps = 200
	high := 0.0
	for _, o := range p.drawn {
		for i := range steps + 1 {
			high = max(high, value(o.line, p.most*float64(i)/steps))
		}
	}
	if high <= 0 {
		high = 1
	}
	high *= 1.04
	bottom := top + panelTall
	y := func(v float64) float64 { return bottom - v/high*panelTall }
	p.text(plotLeft, top-10, "start", `font-weight="bold"`, title)
	for _, v := range ticks(high) {
		p.rule(plotLeft, y(v), plotWide-plotRight, y(v), `stroke="#dddddd"`)
		p.text(plotLeft-8, y(v)+4, "end", "", say.Digits(v))
	}
	for _, q := range ticks(p.most) {
		p.rule(p.x(q), bottom, p.x(q), bottom+5, `stroke="black"`)
		p.text(p.x(q), bottom+19, "middle", "", say.Number(int64(q)))
	}
	ordered := float64(p.c.Quantity)
	p.rule(p.x(ordered), top, p.x(ordered), bottom, `stroke="#888888" stroke-dasharray="4 4"`)
	p.text(p.x(ordered)+5, top+12, "start", `fill="#555555"`, order)
	for i, o := range p.drawn {
		fmt.Fprintf(&p.b, `<polyline %s points="`, stroke(i))
		for k := range steps + 1 {
			q := p.most * float64(k) / steps
			fmt.Fprintf(&p.b, "%.1f,%.1f ", p.x(q), y(value(o.line, q)))
		}
		p.b.WriteString("\"/>\n")
	}
	p.changes(order == "", func(q float64) float64 { return y(value(p.c.Options[p.at(q)].line, q)) })
	p.rule(plotLeft, bottom, plotWide-plotRight, bottom, `stroke="black"`)
	p.rule(plotLeft, top, plotLeft, bottom, `stroke="black"`)
}

// at returns the index of the option that is best just above a quantity.
func (p *plot) at(q float64) int {
	for _, s := range p.c.Best {
		if s.To == 0 || q < float64(s.To) {
			return s.Option - 1
		}
	}
	return 0
}

// changes marks where another option becomes the best, with the quantity where
// there is room for it.
func (p *plot) changes(named bool, y func(float64) float64) {
	for _, s := range p.c.Best {
		if q := float64(s.To); s.To > 0 && q < p.most {
			fmt.Fprintf(&p.b, `<circle cx="%.1f" cy="%.1f" r="4.5" fill="black"/>`+"\n", p.x(q), y(q))
			if named {
				p.text(p.x(q)+7, y(q)-8, "start", `font-weight="bold" stroke="white" stroke-width="4" paint-order="stroke"`, say.Number(s.To))
			}
		}
	}
}

// ticks returns round numbers from 0 to at most high, about six.
func ticks(high float64) []float64 {
	decade := math.Pow(10, math.Floor(math.Log10(high/7)))
	step := 10 * decade
	for _, k := range []float64{1, 2, 5} {
		if k*decade >= high/7 {
			step = k * decade
			break
		}
	}
	var list []float64
	for i := 0; float64(i)*step <= high; i++ {
		list = append(list, float64(i)*step)
	}
	return list
}
