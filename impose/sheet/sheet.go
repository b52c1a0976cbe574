package sheet

import (
	"fmt"
	"io"
	"slices"
	"sort"
	"strings"

	"quoin/impose/sheet/typeset"
)

// Paper is what the sheet is printed on.
type Paper struct {
	Name          string
	width, height float64 // points
}

// The papers: ISO 216 A4, and ANSI/ASME Y14.1 size A (letter).
var (
	A4     = Paper{"a4", 210 * 72 / 25.4, 297 * 72 / 25.4}
	Letter = Paper{"letter", 612, 792}
)

// ParsePaper reads the name of a paper.
func ParsePaper(name string) (Paper, error) {
	for _, p := range []Paper{A4, Letter} {
		if strings.EqualFold(p.Name, name) {
			return p, nil
		}
	}
	return Paper{}, fmt.Errorf("paper %q is not known: say a4 or letter", name)
}

// margin is what most office printers leave white; common practice, no source.
const margin = 28.0

// Write writes the sheet as a PDF. It gives back notes for people, such as
// characters that had to be shown by their codes. The same content gives the
// same bytes.
func Write(w io.Writer, c *Content, paper Paper) (notes []string, err error) {
	d := compose(c, paper)
	if missing := d.Setting().Missing(); len(missing) > 0 {
		codes := make([]string, len(missing))
		for i, r := range missing {
			codes[i] = fmt.Sprintf("U+%04X", r)
		}
		notes = append(notes, "the job sheet's faces have no letter for "+strings.Join(codes, ", ")+"; it shows the codes instead")
	}
	return notes, d.Write(w)
}

// compose lays the sheet out: on one page where that leaves the type large,
// otherwise on two.
func compose(c *Content, paper Paper) *typeset.Document {
	d := typeset.NewDocument(paper.width, paper.height, c.Job)
	area := typeset.Box{W: paper.width, H: paper.height}.Inset(margin)
	if p := whole(c); p.fits(d, area, 0.92) {
		p.draw(d, area)
		return d
	}
	how := shareOut(c, d, area)
	front(c, how).draw(d, area)
	back(c, how).draw(d, area)
	return d
}

// split is how the content is shared out to two pages.
type split struct {
	size     float64 // of warnings, at k = 1
	moved    int     // how many of the front's parts stand at the back
	warnings int     // that are shown
}

// shareOut returns the first way in which the front can be read from afar. All
// warnings stand on the front: for many of them their type shrinks, then parts of
// the front move to the back. Only a front that would fit in no way at all leaves
// the last warnings, which risk least, to the summary.
func shareOut(c *Content, d *typeset.Document, area typeset.Box) split {
	all := len(c.Warnings)
	fits := func(how split, k float64) bool {
		return front(c, how).fits(d, area, k) && back(c, how).fits(d, area, smallest)
	}
	ways := []split{{13, 0, all}, {10, 0, all}, {10, 1, all}, {10, 2, all}, {8, 2, all}, {7, 3, all}}
	for _, k := range []float64{0.8, smallest} {
		for _, how := range ways {
			if fits(how, k) {
				return how
			}
		}
	}
	how := split{7, 0, all}
	for how.warnings > 1 && !fits(how, smallest) {
		how.warnings--
	}
	return how
}

// page is a column of blocks, one of which takes what is left over.
type page struct {
	blocks []block
	spare  *float64 // grows the picture
}

// The scales that a page is tried at.
const (
	largest  = 1.5
	smallest = 0.4
	step     = 0.02
	between  = 8.0
)

func (p page) all() stack {
	return stack{between, slices.DeleteFunc(slices.Clone(p.blocks), func(b block) bool { return b == nil })}
}

func (p page) fits(d *typeset.Document, area typeset.Box, k float64) bool {
	return p.all().height(d, area.W, k) <= area.H
}

// draw draws the page at the largest scale at which it fits.
func (p page) draw(d *typeset.Document, area typeset.Box) {
	k := p.scale(d, area)
	if p.spare != nil {
		*p.spare = max(0, min(area.H-p.all().height(d, area.W, k), 0.3*area.H))
	}
	d.Add()
	p.all().draw(d, area, k)
}

// scale returns the largest scale at which the page fits, to a step.
func (p page) scale(d *typeset.Document, area typeset.Box) float64 {
	n := sort.Search(int((largest-smallest)/step), func(n int) bool { return p.fits(d, area, largest-float64(n)*step) })
	return largest - float64(n)*step
}

// pageTitle is the head of a page.
func pageTitle(c *Content, n int, of int) block {
	return columns{10, []float64{5, 1}, []block{
		words{text: jobName(c), style: bold(28 - 6*float64(n))},
		words{text: fmt.Sprintf("JOB SHEET %d/%d", n, of), style: plain(10), align: typeset.Right},
	}}
}

func jobName(c *Content) string {
	if c.Job == "" {
		return "Job without a name"
	}
	return c.Job
}

// whole puts everything on one page.
func whole(c *Content) page {
	w := &web{c: c}
	blocks := []block{pageTitle(c, 1, 1), c.glance(), c.warnings(13, len(c.Warnings)), w}
	stay, _ := pageParts(c, 0)
	blocks = append(blocks, stay...)
	return page{append(blocks,
		columns{8, []float64{1, 1}, []block{c.cutting(), c.run()}},
		c.inks(), columns{8, []float64{1, 1.3}, []block{c.marking(), c.caution()}}, c.files(),
	), &w.extra}
}

// pageParts returns what follows the picture of the web: what stays in front and the
// first so many to move, the products, the mixed lanes and the winding.
func pageParts(c *Content, moved int) (front, back []block) {
	list := []struct {
		part block
		turn int // at which it moves
	}{{mixed(c), 2}, {c.products(), 1}, {columns{8, []float64{1.35, 1}, []block{winding(c), rolls(c)}}, 3}}
	for _, p := range list {
		if moved >= p.turn {
			back = append(back, p.part)
		} else {
			front = append(front, p.part)
		}
	}
	return front, back
}

// front is what is read from afar.
func front(c *Content, how split) page {
	w := &web{c: c}
	stay, _ := pageParts(c, how.moved)
	return page{append([]block{pageTitle(c, 1, 2), c.glance(), c.warnings(how.size, how.warnings), w}, stay...), &w.extra}
}

// back is what is read at set-up.
func back(c *Content, how split) page {
	_, moved := pageParts(c, how.moved)
	blocks := append([]block{pageTitle(c, 2, 2)}, moved...)
	return page{append(blocks,
		columns{8, []float64{1, 1}, []block{c.cutting(), c.run()}},
		c.inks(), c.marking(), c.caution(), c.files(),
	), nil}
}

func (c *Content) inks() block {
	return panel{title: "INKS, IN PRINTING ORDER", body: inks{c.Printing, c.Silent}}
}
