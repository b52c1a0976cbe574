package sheet

import (
	"fmt"
	"strings"

	"quoin/impose/say"
	"quoin/impose/summary"
)

// winding shows how the finished roll pays out.
func winding(c *Content) block {
	w := c.Winding
	if c.WindingsDiffer() {
		return c.windings()
	}
	if w == nil {
		return panel{title: "WINDING", loud: true, body: stack{4, []block{
			words{text: "NOT SAID", style: bold(24)},
			words{text: "Ask before anything is rewound: is the print outside or inside, and which edge of the label comes off first?", style: plain(13)},
		}}}
	}
	picture := roll{face: w.Face, leading: w.Leading, label: c.Layout.LabelMM}
	if len(c.Rolls) > 0 {
		picture.core, picture.outside = c.Rolls[0].CoreMM, c.Rolls[0].DiameterMM
	}
	order := "the label printed first comes off first."
	if w.LastPrintedFirst {
		order = "the label printed last comes off first."
	}
	first := strings.ToUpper(w.FirstRollHas()[:1]) + w.FirstRollHas()[1:] + "."
	return panel{title: "WINDING", body: columns{8, []float64{1, 1}, []block{
		picture,
		stack{6, []block{
			words{text: strings.ToUpper(w.Text), style: bold(22)},
			words{text: w.Words, style: plain(13)},
			words{text: "Wound up " + times(w.Windings) + ": " + order + " " + first, style: plain(body)},
		}},
	}}}
}

// windings says how each product's rolls pay out, where that differs.
func (c *Content) windings() block {
	list := []block{words{text: "DIFFERENT BY PRODUCT", style: bold(18)}}
	for _, a := range c.Artworks {
		text := "NOT SAID: ask before it is rewound"
		if w := a.Winding; w != nil {
			text = fmt.Sprintf("%s, turned %d°", strings.ToUpper(w.Text), w.TurnDeg)
		}
		lanes := "lane "
		if len(a.Lanes) > 1 {
			lanes = "lanes "
		}
		list = append(list, columns{4, []float64{0.34, 0.66}, []block{
			words{text: letter(a.Artwork) + ", " + lanes + strings.Join(say.Numbers(a.Lanes), " "), style: bold(body)}, words{text: text, style: bold(body)},
		}})
	}
	return panel{title: "WINDING", loud: true, body: stack{4, list}}
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// rolls says what the customer's rolls are.
func rolls(c *Content) block {
	if len(c.Rolls) == 0 {
		return panel{title: "ROLLS", body: words{text: "Nothing is said of the finished rolls.", style: plain(13)}}
	}
	var list []fact
	kinds := rollKinds(c)
	for _, k := range kinds {
		web, full := say.Fixed(k.WebM, 1)+"\u00a0m", fmt.Sprintf("Ø\u00a0%s\u00a0mm", say.Fixed(k.DiameterMM, 0))
		if len(kinds) > 1 {
			text := say.Number(k.LabelsPerRoll) + " labels on " + web
			if k.DiameterMM > 0 {
				text += ", " + full
			}
			list = append(list, fact{"Rolls of " + k.products, text})
			continue
		}
		list = append(list, fact{"Labels a roll", say.Number(k.LabelsPerRoll)}, fact{"Web a roll", web})
		if k.DiameterMM > 0 {
			list = append(list, fact{"Full roll", full})
		}
	}
	if core := c.Rolls[0].CoreMM; core > 0 {
		list = append(list, fact{"Core, outside", "Ø " + mm(core)})
	}
	list = append(list, fact{"Splices", c.Splices})
	if n := c.Run.ChangeOvers; n > 0 {
		list = append(list, fact{"Between rolls", fmt.Sprintf("%s, %s in all, %s of web", say.CountOf(c.Rolls[0].ChangeOver, "change-over label", "change-over labels"), say.Number(n), say.Metres(c.Run.ChangeOverM))})
	}
	for _, r := range c.Rolls {
		for _, joined := range r.Spliced {
			list = append(list, fact{"Join " + letter(r.Artwork), pieces(joined)})
		}
		// Without splices the lanes' own rests are the part rolls.
		if r.Splices > 0 && len(r.Parts) > 0 {
			list = append(list, fact{"Part rolls " + letter(r.Artwork), pieces(r.Parts)})
		}
	}
	return panel{title: "ROLLS", body: facts{list, 13}}
}

// rollKind is what the rolls of some products are alike in.
type rollKind struct {
	*summary.Roll        // of the first of them
	products      string // their letters
}

// rollKinds returns the different rolls in the order of the products.
func rollKinds(c *Content) []rollKind {
	var list []rollKind
next:
	for i := range c.Rolls {
		r := &c.Rolls[i]
		for k := range list {
			if list[k].LabelsPerRoll == r.LabelsPerRoll {
				list[k].products += " " + letter(r.Artwork)
				continue next
			}
		}
		list = append(list, rollKind{r, letter(r.Artwork)})
	}
	return list
}

func pieces(list []summary.Piece) string {
	parts := make([]string, len(list))
	for i, p := range list {
		parts[i] = fmt.Sprintf("%s (lane %d)", say.Number(p.Labels), p.Lane)
	}
	return strings.Join(parts, ", ")
}
