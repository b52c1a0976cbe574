package report

import (
	"io"

	"quoin/impose/colour"
	"quoin/impose/sheet/typeset"
)

// The page is ISO A4, upright; lengths are points.
const (
	width, height = 210 * 72 / 25.4, 297 * 72 / 25.4
	margin        = 36.0
	inner         = width - 2*margin
)

var (
	title  = typeset.Style{Size: 17, Bold: true}
	strong = typeset.Style{Size: 10.5, Bold: true}
	normal = typeset.Style{Size: 9}
	fine   = typeset.Style{Size: 7.5}
)

// sheet is the page that is being set.
type sheet struct {
	page *typeset.Document
	y    float64
}

// PDF writes the operator's report on A4: verdict, strip and charts on the first
// page, then the table of checks.
func PDF(w io.Writer, rep *colour.Report) error {
	s := &sheet{page: typeset.NewDocument(width, height, rep.Job+": colour")}
	s.next()
	s.head(rep)
	s.strip(rep)
	if c := toneChart(rep); len(c.lines) > 0 {
		s.plot(c, 150)
	}
	if moved(rep) {
		s.plot(runChart(rep), 150)
	}
	s.checks(rep)
	s.list("Advice", advice(rep))
	s.list("How it was measured", measured(rep))
	s.list("Good to know", rep.Notes)
	return s.page.Write(w)
}

func (s *sheet) next() {
	s.page.Add()
	s.y = margin
}

// room begins a page where less than so much is left.
func (s *sheet) room(h float64) {
	if s.y+h > height-margin {
		s.next()
	}
}

// text writes wrapped lines, over pages if need be.
func (s *sheet) text(text string, style typeset.Style) {
	for _, l := range s.page.Setting().Wrap(text, style, inner) {
		h := typeset.Height(1, style.Size)
		s.room(h)
		s.page.Lines([]typeset.Line{l}, style, typeset.Box{X: margin, Y: s.y, W: inner, H: h}, typeset.Left)
		s.y += h
	}
}

func (s *sheet) head(rep *colour.Report) {
	s.text(rep.Job, title)
	h := 24.0
	s.page.Pen(1.5)
	s.page.Rect(typeset.Box{X: margin, Y: s.y + 3, W: inner, H: h})
	style, lines, _ := s.page.Setting().Fit(rep.Headline(), typeset.Style{Size: 13, Bold: true}, inner-16, h-4, 7)
	s.page.Lines(lines, style, typeset.Box{X: margin + 8, Y: s.y + 8, W: inner - 16, H: h}, typeset.Left)
	s.y += h + 10
	for _, c := range rep.Worst {
		s.text("• "+c.Text+": "+string(c.Verdict), normal)
	}
	for _, d := range rep.Drift {
		s.text("• "+d.What, normal)
	}
	s.y += 6
}

// strip shows each kind of patch as measured over as aimed at.
func (s *sheet) strip(rep *colour.Report) {
	s.text("The targets: left as measured, right as aimed at; paper and screens show colours nearly", strong)
	const across, gap, tall, words = 10, 4.0, 22.0, 20.0
	w := (inner - gap*(across-1)) / across
	s.y += 2
	for i, c := range rep.Strip {
		if i%across == 0 {
			s.room(tall + words)
		}
		x := margin + float64(i%across)*(w+gap)
		r, g, b := c.Lab.SRGB()
		half := typeset.Box{X: x, Y: s.y, W: w / 2, H: tall}
		if c.Aim == nil {
			half.W = w
		}
		s.page.Swatch(half, r, g, b)
		if c.Aim != nil {
			r, g, b = c.Aim.SRGB()
			s.page.Swatch(typeset.Box{X: x + w/2, Y: s.y, W: w / 2, H: tall}, r, g, b)
		}
		s.page.Pen(0.3)
		s.page.Rect(typeset.Box{X: x, Y: s.y, W: w, H: tall})
		style, lines, _ := s.page.Setting().Fit(c.Patch, typeset.Style{Size: 6.5}, w, 9, 4)
		s.page.Lines(lines, style, typeset.Box{X: x, Y: s.y + tall + 1, W: w, H: 9}, typeset.Left)
		if c.DE00 != nil {
			s.page.Put(one(*c.DE00), typeset.Style{Size: 7, Bold: true}, x, s.y+tall+17, 0)
		}
		if i%across == across-1 || i == len(rep.Strip)-1 {
			s.y += tall + words + 3
		}
	}
	s.y += 4
}

// plot draws a chart as tall as that.
func (s *sheet) plot(c chart, tall float64) {
	c.span()
	s.room(tall + 18)
	s.text(c.title, strong)
	const left, right, bottom = 26.0, 84.0, 24.0
	box := typeset.Box{X: margin + left, Y: s.y + 5, W: inner - left - right, H: tall - bottom}
	s.page.Pen(0.3)
	for _, v := range ticks(c.low, c.high) {
		y := box.Y + box.H*(1-(v-c.low)/(c.high-c.low))
		s.page.PenColour(200, 205, 200)
		s.page.Line(box.X, y, box.Right(), y)
		s.page.Put(number(v), fine, box.X-4-s.page.Setting().Width(number(v), fine), y+2.5, 0)
	}
	for _, v := range ticks(0, c.right) {
		x := box.X + box.W*v/c.right
		s.page.Line(x, box.Bottom(), x, box.Bottom()+3)
		s.page.Put(number(v), fine, x-s.page.Setting().Width(number(v), fine)/2, box.Bottom()+11, 0)
	}
	s.page.Put(c.x, fine, box.X+(box.W-s.page.Setting().Width(c.x, fine))/2, box.Bottom()+20, 0)
	for _, l := range c.lines {
		r, g, b := inkColour(l.lab)
		s.page.Pen(1.1)
		if l.dashed {
			s.page.Pen(0.7, 3, 3)
		}
		s.page.PenColour(r, g, b)
		points := make([]typeset.Point, len(l.points))
		for i, p := range l.points {
			x, y := c.at(p)
			points[i] = typeset.Point{X: box.X + box.W*x, Y: box.Y + box.H*y}
		}
		s.page.Path(points...)
	}
	s.page.Pen(0.5)
	for _, l := range c.labels(9 / box.H) {
		r, g, b := inkColour(l.lab)
		s.page.Swatch(typeset.Box{X: box.Right() + 4, Y: box.Y + box.H*l.y - 3, W: 6, H: 6}, r, g, b)
		s.page.Put(short(l.name), fine, box.Right()+13, box.Y+box.H*l.y+2.5, 0)
	}
	s.y += tall + 8
}

// checks is the table, what is out of tolerance first.
func (s *sheet) checks(rep *colour.Report) {
	s.room(60)
	s.text("All checks", strong)
	columns := []float64{0, 42, inner - 74, inner - 34} // verdict, words, value, tolerance
	row := func(style typeset.Style, cells ...string) {
		lines := s.page.Setting().Wrap(cells[1], style, columns[2]-columns[1]-8)
		h := typeset.Height(len(lines), style.Size) + 2
		s.room(h)
		s.page.Lines(lines, style, typeset.Box{X: margin + columns[1], Y: s.y + 1, W: columns[2] - columns[1], H: h}, typeset.Left)
		base := s.y + 1 + style.Size
		s.page.Put(cells[0], typeset.Style{Size: style.Size, Bold: cells[0] != "pass"}, margin, base, 0)
		for i, at := range []float64{columns[3] - 8, inner} {
			s.page.Put(cells[2+i], style, margin+at-s.page.Setting().Width(cells[2+i], style), base, 0)
		}
		s.y += h
		s.page.Pen(0.2)
		s.page.Line(margin, s.y, margin+inner, s.y)
	}
	row(fine, "Verdict", "What", "Value", "Allowed")
	for _, c := range checksInOrder(rep) {
		row(fine, string(c.Verdict), c.Text, one(c.Value), number(c.Tolerance))
	}
	s.y += 8
}

func (s *sheet) list(head string, lines []string) {
	if len(lines) == 0 {
		return
	}
	s.room(40)
	s.text(head, strong)
	for _, l := range lines {
		s.text("• "+l, fine)
	}
	s.y += 6
}

func advice(rep *colour.Report) (out []string) {
	for _, ink := range rep.Inks {
		if ink.Advice != "" && ink.Advice != colour.LeaveIt {
			out = append(out, ink.Name+": "+ink.Advice)
		}
	}
	for _, f := range rep.Fewer {
		out = append(out, f.Text)
	}
	if t := rep.Together; t != nil {
		out = append(out, t.Text)
	}
	return out
}

func measured(rep *colour.Report) (out []string) {
	for _, m := range rep.Measured {
		out = append(out, m.File+": "+number(float64(m.Readings))+" readings; "+m.Words())
	}
	return out
}
