package mark

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/say"
)

// What tells what a patch shows.
type What string

// What patches show.
const (
	Paper     What = "paper" // nothing printed
	Full      What = "solid" // one ink at 100 %
	Tint      What = "tint"  // one ink at less
	Balance   What = "grey"  // cyan, magenta and yellow that print neutral together
	Overprint What = "overprint"
	Bare      What = "bare" // nothing printed, where paper is white ink
)

// Patch is one colour target, for people and for an inline instrument.
type Patch struct {
	Number int // from 1, in the order of the list
	Set    int // which repetition of the whole set, from 1
	Side   Side
	What   What
	Name   string      // for people: "Cyan 50 %", "paper", "grey 50/40/40", "red"
	Ink    string      // the ink that is measured, of a solid or a tint
	Tints  []draw.Tint // all that is printed there, at once; none on paper
	Lane   int         // whose own patch it is, in the matrix; 0 in the margins
	Box    geometry.Box
}

// MarshalJSON writes lengths in millimetres, positions from the web's left
// edge and the frame's leading end.
func (p Patch) MarshalJSON() ([]byte, error) {
	type tint struct {
		Ink    string  `json:"ink"`
		Amount float64 `json:"percent"`
	}
	tints := make([]tint, len(p.Tints))
	for i, t := range p.Tints {
		tints[i] = tint{t.Ink, percent(t.Amount)}
	}
	return json.Marshal(struct {
		Number int     `json:"number"`
		Set    int     `json:"set"`
		Side   Side    `json:"side"`
		Lane   int     `json:"lane,omitempty"`
		What   What    `json:"what"`
		Name   string  `json:"name"`
		Ink    string  `json:"ink,omitempty"`
		Tints  []tint  `json:"tints"`
		Across float64 `json:"across_mm"`
		Around float64 `json:"around_mm"`
		Width  float64 `json:"size_across_mm"`
		Length float64 `json:"size_around_mm"`
	}{p.Number, p.Set, p.Side, p.Lane, p.What, p.Name, p.Ink, tints,
		p.Box.Min.Across.MM(), p.Box.Min.Around.MM(), p.Box.Size().Across.MM(), p.Box.Size().Around.MM()})
}

// percent returns an amount in percent without the dust of binary fractions.
func percent(amount float64) float64 { return math.Round(amount*1e6) / 1e4 }

func percentText(amount float64) string { return say.Exact(percent(amount)) }

// patches lists one set, the most important first, so that what finds no room
// is what is missed least: solids, paper, the tint nearest to a half, grey and
// overprints, then the other tints.
//
// A varnish has a solid only, to judge its gloss and lay; tints of it say
// nothing to a colour instrument. White is measured over black: where white is
// printed after black, its patches have solid black beneath. White that is
// printed first would only be hidden by the black; its patches show it on the
// material, which wants a black backing when it is clear.
func (t *Targets) patches(inks []ink.Ink) []Patch {
	var solids, middle, rest []Patch
	nearest := t.middle()
	for _, i := range inks {
		under := under(i, inks)
		solids = append(solids, single(Full, i, 1, under))
		for _, v := range t.Tints {
			switch {
			case i.Kind == ink.Varnish:
			case v == nearest:
				middle = append(middle, single(Tint, i, v, under))
			default:
				rest = append(rest, single(Tint, i, v, under))
			}
		}
	}
	// By tint rather than by ink: what is left out is then left out of all.
	slices.SortStableFunc(rest, func(a, b Patch) int {
		return cmp.Compare(slices.Index(t.Tints, amount(a)), slices.Index(t.Tints, amount(b)))
	})
	list := append(solids, Patch{What: Paper, Name: "paper"})
	list = t.whitened(slices.Concat(list, middle, t.mixes(inks), rest), inks)
	return list
}

// whitened puts patches on white, all but those of the whites themselves, and
// adds a bare one behind the paper. Where no white prints, all stay bare.
func (t *Targets) whitened(list []Patch, inks []ink.Ink) []Patch {
	var under []draw.Tint
	for _, i := range inks {
		if i.Kind == ink.White {
			under = append(under, draw.Tint{Ink: i.Name, Amount: 1})
		}
	}
	if !t.OnWhite || len(under) == 0 {
		return list
	}
	var out []Patch
	for _, p := range list {
		white := slices.ContainsFunc(under, func(u draw.Tint) bool { return u.Ink == p.Ink })
		if !white {
			p.Tints = append(slices.Clone(under), p.Tints...)
			p.Name += " on " + under[0].Ink
		}
		out = append(out, p)
		if p.What == Paper {
			out = append(out, Patch{What: Bare, Name: "bare stock"})
		}
	}
	return out
}

// middle returns the tint that is nearest to a half.
func (t *Targets) middle() (v float64) {
	for _, w := range t.Tints {
		if math.Abs(w-.5) < math.Abs(v-.5) || v == 0 {
			v = w
		}
	}
	return v
}

// amount returns the amount of the ink that is measured.
func amount(p Patch) float64 { return p.Tints[len(p.Tints)-1].Amount }

// single is a patch of one ink, over a solid of another if need be.
func single(what What, i ink.Ink, v float64, under []draw.Tint) Patch {
	name := i.Name
	if what == Tint {
		name += " " + percentText(v) + " %"
	}
	if len(under) > 0 {
		name += " over " + under[0].Ink
	}
	return Patch{What: what, Name: name, Ink: i.Name, Tints: append(slices.Clone(under), draw.Tint{Ink: i.Name, Amount: v})}
}

// under returns the black that white is printed over.
func under(white ink.Ink, inks []ink.Ink) []draw.Tint {
	if white.Kind != ink.White {
		return nil
	}
	for _, i := range inks {
		switch i.Name {
		case white.Name:
			return nil // white first
		case ink.Black:
			return []draw.Tint{{Ink: ink.Black, Amount: 1}}
		}
	}
	return nil
}

// mixes lists overprints and greys of the process inks that the job has.
func (t *Targets) mixes(inks []ink.Ink) []Patch {
	has := func(names ...string) bool {
		for _, n := range names {
			if !slices.ContainsFunc(inks, func(i ink.Ink) bool { return i.Name == n }) {
				return false
			}
		}
		return true
	}
	var list []Patch
	if has(ink.Cyan, ink.Magenta, ink.Yellow) {
		for _, g := range t.Greys {
			words := []string{percentText(g.Cyan), percentText(g.Magenta), percentText(g.Yellow)}
			list = append(list, Patch{What: Balance, Name: "grey " + strings.Join(words, "/"), Tints: []draw.Tint{
				{Ink: ink.Cyan, Amount: g.Cyan}, {Ink: ink.Magenta, Amount: g.Magenta}, {Ink: ink.Yellow, Amount: g.Yellow}}})
		}
	}
	for _, o := range []struct{ name, a, b string }{
		{"red", ink.Magenta, ink.Yellow}, {"green", ink.Cyan, ink.Yellow}, {"blue", ink.Cyan, ink.Magenta},
	} {
		if t.Overprints && has(o.a, o.b) {
			list = append(list, Patch{What: Overprint, Name: o.name, Tints: []draw.Tint{{Ink: o.a, Amount: 1}, {Ink: o.b, Amount: 1}}})
		}
	}
	if t.ThreeInks && has(ink.Cyan, ink.Magenta, ink.Yellow) {
		list = append(list, Patch{What: Overprint, Name: "three inks", Tints: []draw.Tint{
			{Ink: ink.Cyan, Amount: 1}, {Ink: ink.Magenta, Amount: 1}, {Ink: ink.Yellow, Amount: 1}}})
	}
	return list
}

// names lists patches for a message.
func names(list []Patch) string {
	words := make([]string, len(list))
	for i, p := range list {
		words[i] = p.Name
	}
	return fmt.Sprintf("%s: %s", say.Count(len(list), "patch"), strings.Join(words, ", "))
}
