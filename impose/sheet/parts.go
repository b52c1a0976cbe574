package sheet

import (
	"fmt"
	"math"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"quoin/impose/say"
	"quoin/impose/sheet/typeset"
	"quoin/impose/summary"
)

const body = 11.5 // size of what is read close by, at k = 1

func bold(size float64) typeset.Style  { return typeset.Style{Size: size, Bold: true} }
func plain(size float64) typeset.Style { return typeset.Style{Size: size} }

// figure is a big number with what it counts.
type figure struct{ number, what string }

func (f figure) height(d *typeset.Document, width, k float64) float64 {
	return typeset.Height(1, 25*k) + f.under().height(d, width, k)
}

func (f figure) under() words {
	return words{text: f.what, style: plain(10.5), align: typeset.Centre}
}

func (f figure) draw(d *typeset.Document, at typeset.Box, k float64) {
	h := typeset.Height(1, 25*k)
	one(d, f.number, bold(25*k), typeset.Box{X: at.X, Y: at.Y, W: at.W, H: h}, typeset.Centre)
	f.under().draw(d, typeset.Box{X: at.X, Y: at.Y + h, W: at.W, H: at.H - h}, k)
}

func frames(n int64) string {
	if n == 1 {
		return "frame"
	}
	return "frames"
}

// glance says the job in one line of figures.
func (c *Content) glance() block {
	l, r := c.Layout, c.Run
	list := []block{
		figure{fmt.Sprintf("%d × %d", l.Across, l.Around), fmt.Sprintf("lanes × rows: %s a frame", say.Count(l.Labels, "label"))},
		figure{say.Number(r.Frames), frames(r.Frames) + " of " + mm(l.RepeatMM)},
		figure{say.Number(int64(math.Round(r.WebGrossM))) + "\u00a0m", fmt.Sprintf("of web, %s wide", mm(l.WebMM))},
	}
	if r.SpeedMPerMin > 0 {
		minutes := r.PressMin
		if c.Production != nil {
			minutes = c.Production.PressMin
		}
		list = append(list, figure{say.Fixed(math.Ceil(minutes), 0) + " min", "at " + say.Digits(r.SpeedMPerMin) + " m/min"})
	} else {
		list = append(list, figure{"–", "time not known"})
	}
	if t := c.Thousand; t != nil {
		list = append(list, figure{say.Amount(t.WebM) + "\u00a0m", "of web for 1,000 labels; nothing is ordered"})
	} else {
		list = append(list, figure{say.Number(r.Ordered), "labels ordered"})
	}
	shares := make([]float64, len(list))
	for i := range shares {
		shares[i] = 1
	}
	return columns{8, shares, list}
}

// warnings lists the first so many warnings, in type of a size; it says how many
// stand in the summary only.
func (c *Content) warnings(size float64, shown int) block {
	if len(c.Warnings) == 0 {
		return words{text: "No warnings.", style: bold(13)}
	}
	number := 0.045 * size / 13
	var list []block
	for i, w := range c.Warnings[:shown] {
		list = append(list, columns{0, []float64{number, 1 - number}, []block{
			words{text: fmt.Sprint(i + 1), style: bold(size)}, words{text: w.Text, style: bold(size)},
		}})
	}
	if rest := len(c.Warnings) - shown; rest > 0 {
		list = append(list, words{text: fmt.Sprintf("and %d more in the summary", rest), style: bold(size)})
	}
	title := fmt.Sprintf("%s: READ BEFORE THE RUN", strings.ToUpper(say.Count(len(c.Warnings), "warning")))
	return panel{title: title, body: stack{3 * size / 13, list}, loud: true}
}

// products lists what is printed.
func (c *Content) products() block {
	t := table{size: 14, columns: []column{
		{head: "", bold: true}, {head: "Product", wraps: true, bold: true}, {head: "Artwork", wraps: true, small: true}, {head: "Lanes", bold: true},
		{head: "Ordered", right: true}, {head: "Made", right: true, bold: true}, {head: "Over", right: true},
	}}
	if c.Layout.LanesDiffer {
		t.columns = slices.Insert(t.columns, 3, column{head: "Label"})
	}
	rolls := len(c.Rolls) > 0
	if rolls {
		t.columns = append(t.columns, column{head: "Full rolls", right: true, bold: true}, column{head: "Part rolls", right: true})
	}
	for _, a := range c.Artworks {
		file := path.Base(filepath.ToSlash(a.File))
		if a.Page > 1 {
			file += fmt.Sprintf(", page %d", a.Page)
		}
		row := []string{letter(a.Artwork), product(a), file, strings.Join(say.Numbers(a.Lanes), " "), say.Number(a.Ordered), say.Number(a.Labels), say.Number(a.Overs)}
		if a.LabelMM != nil {
			row = slices.Insert(row, 3, pair(a.LabelMM[0], a.LabelMM[1]))
		}
		if rolls {
			full, parts := rollsOf(c, a)
			row = append(row, full, parts)
		}
		t.rows = append(t.rows, row)
	}
	t.notes, t.under = c.Remarks, 1
	t.pictures = c.Pictures
	return t
}

func rollsOf(c *Content, a summary.Artwork) (full, parts string) {
	for _, r := range c.Rolls {
		if r.Artwork == a.Artwork {
			switch {
			case len(r.Mixed) > 0 && len(r.Lanes) > 0:
				return say.Number(r.Full) + " + –", "–"
			case len(r.Mixed) > 0:
				return "–", "–"
			}
			return say.Number(r.Full), fmt.Sprint(len(r.Parts))
		}
	}
	return "–", "–"
}

// cutting says what the die station needs.
func (c *Content) cutting() block {
	l := c.Layout
	var list []fact
	if p := c.Die; p != nil {
		list = append(list, fact{"Die", p.Number}, fact{"Station", p.Station})
		for _, f := range []fact{{"Cylinder", p.Cylinder}, {"Kept at", p.Place}, {"Condition", p.Condition}} {
			if f.text != "" {
				list = append(list, f)
			}
		}
		if p.TurnsPerFrame > 0 {
			text := fmt.Sprintf("%d × %s a frame", p.TurnsPerFrame, mm(p.RepeatMM))
			if p.WalkMM != 0 {
				text += fmt.Sprintf(", walk %s", mm(p.WalkMM))
			}
			list = append(list, fact{"Turns or strokes", text})
		}
	} else {
		list = append(list, fact{"Die", "none named"})
		if l.Cylinder != "" {
			list = append(list, fact{"Cylinder", l.Cylinder})
		}
	}
	list = append(list,
		fact{"Repeat", mm(l.RepeatMM)},
		c.labels(),
		fact{"Shape", c.Shape},
		fact{"Turn on the web", c.TurnText("°") + ", counter-clockwise"},
		fact{"Gap across", mm(l.GapAcrossMM)},
		fact{"Gap around", mm(l.GapAroundMM)},
		fact{"Bleed", mm(l.BleedMM)},
	)
	if f := c.Flexo; f != nil {
		list = append(list, fact{strings.TrimSpace("Flexo " + f.For), fmt.Sprintf("plate × %.6f around, repeat %s", f.Factor, mm(f.RepeatMM))})
	}
	return panel{title: "DIE AND CUT", body: facts{list, body}}
}

// labels says the label's size, or the sizes where lanes differ in width.
func (c *Content) labels() fact {
	var list []string
	for _, l := range c.Labels() {
		list = append(list, pair(l[0], l[1]))
	}
	name := "Label"
	if len(list) > 1 {
		name = "Labels"
	}
	return fact{name, strings.Join(list, ", ") + " (across × around, upright)"}
}

// run says what the machines are set to and booked for.
func (c *Content) run() block {
	l, r := c.Layout, c.Run
	list := []fact{}
	add := func(name, text string, args ...any) {
		if text != "" {
			list = append(list, fact{name, fmt.Sprintf(text, args...)})
		}
	}
	material := "not said"
	if len(c.Material) > 0 {
		material = strings.Join(c.Material, ", ")
	}
	add("Material", "%s", material)
	add("Web", "%s wide, %s printed", mm(l.WebMM), mm(l.BandMM))
	if c.Mirrored {
		add("Print", "on the BACK of the web, mirrored")
	}
	if c.Press != "" {
		add("Press", "%s", c.Press)
	}
	add("Web, gross", "%s m, of it %s m make-ready", say.Fixed(r.WebGrossM, 1), say.Digits(r.SetupM))
	add("Web, net", "%s m", say.Fixed(r.WebNetM, 1))
	if p := c.Production; p != nil {
		c.production(add, p)
	} else if r.SpeedMPerMin > 0 {
		add("Press time", "%s min", say.Fixed(r.PressMin, 1))
	}
	add("Yield", "%s %% of the web", say.Fixed(r.YieldPercent, 1))
	return panel{title: "MATERIAL AND RUN", body: facts{list, body}}
}

func (c *Content) production(add func(string, string, ...any), p *summary.Production) {
	if p.PressMin > 0 {
		add("Press time", "%s min", say.Fixed(p.PressMin, 1))
	}
	if p.MasterRolls > 0 {
		add("Master rolls", "%s", say.Number(p.MasterRolls))
	}
	if p.RollChanges > 0 {
		how := fmt.Sprintf("the web stands %s min", say.Fixed(p.ChangeMin, 1))
		if p.NonStop {
			how = "without a stop"
		}
		add("Roll changes", "%s, %s", say.Number(p.RollChanges), how)
	}
	if p.FinishMin > 0 {
		add("Finishing", "%s min at %s m/min", say.Fixed(p.FinishMin, 1), say.Digits(p.FinishSpeed))
		add("Slower step", "%s", p.SlowestStep)
	}
}

// marking lists the marks.
func (c *Content) marking() block {
	return panel{title: "MARKS AND TARGETS", body: bullets(c.Marks, body)}
}

// caution lists the cautions.
func (c *Content) caution() block {
	return panel{title: "CAUTIONS", body: stack{4, []block{
		bullets(c.cautions(), body),
		words{text: "Wording for the site to approve. The machines' manuals, local rules and the customer's quality unit decide.", style: plain(9)},
	}}}
}

// bullet is a paragraph behind a square.
type bullet struct{ words }

const indent = 11.0

func (b bullet) height(d *typeset.Document, width, k float64) float64 {
	return b.words.height(d, width-indent*k, k)
}

func (b bullet) draw(d *typeset.Document, at typeset.Box, k float64) {
	side := 4.5 * k
	middle := at.Y + 0.58*b.style.Size*k
	d.Fill(typeset.Box{X: at.X + k, Y: middle - side/2, W: side, H: side}, 0)
	at.X += indent * k
	at.W -= indent * k
	b.words.draw(d, at, k)
}

func bullets(texts []string, size float64) block {
	var list []block
	for _, t := range texts {
		list = append(list, bullet{words{text: t, style: plain(size)}})
	}
	return stack{2.5, list}
}

// files names every file with its hash, to be compared and not to be read.
func (c *Content) files() block {
	t := table{size: 7, columns: []column{{head: "File"}, {head: "", wraps: true, bold: true}, {head: "SHA-256"}}}
	for _, f := range c.Files {
		t.rows = append(t.rows, []string{f.Role, f.Path, f.SHA256})
	}
	return t
}
