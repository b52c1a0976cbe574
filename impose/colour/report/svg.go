package report

import (
	"fmt"
	"html"
	"html/template"
	"strings"

	"quoin/impose/colour"
)

// svg draws a chart; its width follows the page.
func (c chart) svg(width, height float64) template.HTML {
	c.span()
	const left, right, top, bottom = 44.0, 132.0, 10.0, 40.0
	w, h := width-left-right, height-top-bottom
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="chart" viewBox="0 0 %g %g" role="img" aria-label="%s">`, width, height, html.EscapeString(c.title))
	for _, v := range ticks(c.low, c.high) {
		y := top + h*(1-(v-c.low)/(c.high-c.low))
		fmt.Fprintf(&b, `<path class="grid" d="M%.1f %.1fh%.1f"/><text x="%.1f" y="%.1f" text-anchor="end">%s</text>`, left, y, w, left-6, y+4, number(v))
	}
	for _, v := range ticks(0, c.right) {
		x := left + w*v/c.right
		fmt.Fprintf(&b, `<path class="grid" d="M%.1f %.1fv4"/><text x="%.1f" y="%.1f" text-anchor="middle">%s</text>`, x, top+h, x, top+h+17, number(v))
	}
	fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" text-anchor="middle">%s</text>`, left+w/2, height-5, html.EscapeString(c.x))
	if c.limit > 0 {
		y := top + h*(1-(c.limit-c.low)/(c.high-c.low))
		fmt.Fprintf(&b, `<path class="limit" d="M%.1f %.1fh%.1f"/><text x="%.1f" y="%.1f">tolerance %s</text>`, left, y, w, left+4, y-4, number(c.limit))
	}
	for _, l := range c.lines {
		r, g, bl := inkColour(l.lab)
		class := "line"
		if l.dashed {
			class = "aim"
		}
		fmt.Fprintf(&b, `<g class="%s" style="--c:#%02x%02x%02x"><path d="`, class, r, g, bl)
		for i, p := range l.points {
			x, y := c.at(p)
			fmt.Fprintf(&b, "%c%.1f %.1f", "ML"[min(i, 1)], left+w*x, top+h*y)
		}
		b.WriteString(`"/>`)
		if !l.dashed && len(l.points) <= 60 {
			for _, p := range l.points {
				x, y := c.at(p)
				fmt.Fprintf(&b, `<circle cx="%.1f" cy="%.1f" r="2.6"/>`, left+w*x, top+h*y)
			}
		}
		b.WriteString("</g>")
	}
	for _, l := range c.labels(15 / h) {
		r, g, bl := inkColour(l.lab)
		fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" class="name" style="--c:#%02x%02x%02x">%s</text>`, left+w+8, top+h*l.y+4, r, g, bl, html.EscapeString(short(l.name)))
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

// ribbon draws the run as a strip: above as measured, frame by frame, below as
// aimed at. Each reading reaches half way to its neighbours.
func ribbon(col *colour.Colour, end float64) template.HTML {
	const left, width, tall = 44.0, 464.0, 20.0 // as a chart of 640 has it
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="chart" shape-rendering="crispEdges" viewBox="0 0 640 %g" role="img" aria-label="%s over the run, above as measured, below as aimed at">`, 2*tall+8, html.EscapeString(col.Patch))
	for i, s := range col.Series {
		from, to := 0.0, end
		if i > 0 {
			from = (col.Series[i-1].M + s.M) / 2
		}
		if i < len(col.Series)-1 {
			to = (s.M + col.Series[i+1].M) / 2
		}
		fmt.Fprintf(&b, `<rect x="%.2f" y="4" width="%.2f" height="%g" fill="%s"/>`, left+width*from/end, width*(to-from)/end+0.2, tall, hex(s.Lab))
	}
	under, word := col.Lab, "mean"
	if col.Aim != nil {
		under, word = *col.Aim, "aim"
	}
	fmt.Fprintf(&b, `<rect x="%g" y="%g" width="%g" height="%g" fill="%s"/>`, left, 4+tall, width, tall, hex(under))
	fmt.Fprintf(&b, `<text x="%g" y="%g">measured</text><text x="%g" y="%g">%s</text></svg>`, left+width+8, 4+tall*0.7, left+width+8, 4+tall*1.7, word)
	return template.HTML(b.String())
}

// short cuts a name to what stands beside a chart.
func short(s string) string {
	if r := []rune(s); len(r) > 18 {
		return string(r[:17]) + "…"
	}
	return s
}
