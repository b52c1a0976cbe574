package impose

import (
	"fmt"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/job"
)

// tableInks merges the inks of all artworks and fields under the job's rules.
func tableInks(j *job.Job, pages []*artwork.Page) (table *ink.Table, said remarks, err error) {
	var found []ink.Sighting
	for i, p := range pages {
		source := pageName(j.Artworks[i], p)
		for _, u := range p.Inks {
			seen := ink.Sighting{Name: u.Name, Said: u.Said, CMYK: u.CMYK, Alternate: u.Alternate, Source: source, Idle: idle[u.State]}
			if u.State == artwork.Used || u.State.Idle() && !ink.IsProcess(u.Name) {
				found = append(found, seen)
			}
		}
	}
	mixed := mixtures(j, pages)
	if err := ink.CheckMerges(mixed, inkRules(j.Inks)); err != nil {
		return nil, said, aliased(j, err)
	}
	table = ink.NewTable(append(found, fieldInks(j.Fields)...), inkRules(j.Inks), mixed...)
	for _, n := range table.Notes {
		said.warn(n.Code, "%s", n.Text)
	}
	return table, said, nil
}

// idle says why an ink of a state prints nowhere.
var idle = map[artwork.State]string{
	artwork.Outside: "it is painted beyond the bleed alone",
	artwork.Hidden:  "it is painted in layers that are off",
	artwork.Blank:   "its colour space is set, but nothing is painted in it",
}

// mixtures returns the inks that the artworks mix in one colour space.
func mixtures(j *job.Job, pages []*artwork.Page) (list []ink.Mixture) {
	for i, p := range pages {
		for _, names := range p.Mixtures {
			list = append(list, ink.Mixture{Names: names, Source: pageName(j.Artworks[i], p)})
		}
	}
	return list
}

// aliased says where the job file names the aliases that can't be.
func aliased(j *job.Job, err error) error {
	at := j.At("inks.aliases")
	if at.Line == 0 {
		return err
	}
	return fmt.Errorf("%s: %w", at, err)
}

// fieldInks returns the process inks that the fields need, which may print beside
// those of the artwork. Spots must be the artwork's: nothing else says what
// they look like.
func fieldInks(fields []job.Field) []ink.Sighting {
	var list []ink.Sighting
	for _, f := range fields {
		if k := slices.Index(ink.ProcessNames[:], f.Ink); k >= 0 && !f.Picture {
			s := ink.Sighting{Name: f.Ink, Source: "the fields"}
			s.CMYK[k] = 1
			list = append(list, s)
		}
	}
	return list
}

// inkRules returns the job's rules in the words of the ink table.
func inkRules(r job.InkRules) ink.Rules {
	rules := ink.Rules{Technical: r.Technical, White: r.White, Varnish: r.Varnish, Spot: r.Spot, Silence: r.Silence}
	if len(r.Aliases) > 0 {
		rules.Aliases = make(map[string]string, len(r.Aliases))
		for _, a := range r.Aliases {
			rules.Aliases[a.From] = a.To
		}
	}
	return rules
}

// cuttingLook is how the contour looks on a screen: magenta, which few labels
// are. It is never printed.
var cuttingLook = [4]float64{0, 1, 0, 0}

// ownCutInk returns the technical ink in which an artwork draws the cut of its
// label itself, "" where it doesn't, or where that ink is silenced.
func ownCutInk(table *ink.Table, p *artwork.Page) string {
	line, err := p.DieLine()
	if err != nil || len(line.Inks) != 1 || line.OffTrim(p.Size()) > sizeTolerance {
		return ""
	}
	for _, e := range table.Inks {
		if e.Kind == ink.Technical && !e.Silenced && slices.Contains(e.Spelled, line.Inks[0]) {
			return e.Name
		}
	}
	return ""
}

// addCuttingInk returns the name of a technical ink for the contour of the cut:
// the one in which an artwork draws its own cut, or else a new one in the table
// where no artwork brings it. Where an artwork prints an ink of that name, the
// contour must not land on its plate.
func addCuttingInk(table *ink.Table, pages []*artwork.Page) string {
	for _, p := range pages {
		if own := ownCutInk(table, p); own != "" {
			return own
		}
	}
	name := "Cutting"
	e, known := table.Find(name)
	if known && e.Kind != ink.Technical {
		name = "Cutting contour"
		_, known = table.Find(name)
	}
	if !known {
		table.Inks = append(table.Inks, ink.Entry{Ink: ink.Ink{Name: name, Kind: ink.Technical, CMYK: cuttingLook}})
	}
	return name
}

// PrintingInks returns the inks that are seen in print, in the table's order.
// Stations may be more: see ink.Table.
func (in *Sources) PrintingInks() []ink.Ink {
	var list []ink.Ink
	for _, e := range in.Inks.Inks {
		if e.Prints() {
			list = append(list, e.Ink)
		}
	}
	return list
}

// DrawnInks returns all inks that the frame may be drawn in, technical ones too:
// what a picture needs to know. Whites come first, for on either surface they are
// seen beneath the colours.
func (in *Sources) DrawnInks() []ink.Ink {
	var list []ink.Ink
	for _, e := range in.Inks.Inks {
		list = append(list, e.Ink)
	}
	return printingOrder(list, false)
}

// PrintingOrder returns the inks that print in the order in which the press
// prints them.
func (in *Sources) PrintingOrder() []ink.Ink {
	return printingOrder(in.PrintingInks(), in.Job.Mirror)
}

// PrintingInks returns the inks of a list that take a station of the press,
// under a job's rules, process inks first. An ink that stands in the list more
// than once hits as often.
func PrintingInks(r job.InkRules, names []string) []string {
	rules := inkRules(r)
	var found []ink.Sighting
	hits := map[string]int{}
	for _, n := range names {
		found = append(found, ink.Sighting{Name: n})
		hits[rules.Name(n)]++
	}
	var out []string
	for _, e := range ink.NewTable(found, rules).Inks {
		if e.Prints() {
			out = append(out, slices.Repeat([]string{e.Name}, hits[e.Name])...)
		}
	}
	return out
}
