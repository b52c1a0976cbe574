package plan

import (
	"path/filepath"
	"slices"

	"quoin/impose/night"
	"quoin/impose/say"
)

// unpriced notes what runs take that has no price on their press: it was counted
// as nothing, so that the plan spends it freely. Not all houses price inks, rolls
// and set-ups; web, press and finishing line nobody has for nothing.
func (p *Plan) unpriced() {
	for _, press := range p.Presses {
		var lacks []string
		add := func(what string) {
			if !slices.Contains(lacks, what) {
				lacks = append(lacks, what)
			}
		}
		where := "its press file"
		for i := range p.Runs {
			run := &p.Runs[i]
			if run.Press != press.Press {
				continue
			}
			g := run.group
			prices := pricesOf(g, p.rules)
			if path := g.press.Path(); path != "" {
				where = filepath.Base(path)
			}
			if webPrice(g, p.rules) == 0 {
				if g.stock == "" {
					add("web")
				} else {
					add("web of " + g.stock)
				}
			}
			if prices.PressPerHour == 0 {
				add("the press's hour")
			}
			if prices.FinishPerHour == 0 && g.finishing.DieCutting > 0 {
				add("the finishing line's hour")
			}
		}
		if len(lacks) > 0 {
			p.Notes = append(p.Notes, night.NoteOn("", night.NoPrice, "%s says no price of %s: it is counted as nothing (write it in %s)", press.Press, say.List(lacks), where))
		}
	}
}
