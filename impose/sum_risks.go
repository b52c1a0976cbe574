package impose

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/mark"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// What the numbers of a run say that costs money or a customer.

// mostOvers is the share of an order beyond which labels over it are warned of:
// customary terms of printing take 10 % over (Graphic Communications Trade
// Customs, "over-runs", from memory), and nobody pays for twice that.
const mostOvers = 20 * geometry.Whole / 100

// risks warns of rolls that can't be full as ordered, of parts that wear out
// within the run, and of labels that nobody ordered. Overs that the job asks for
// are no surprise.
func risks(artworks []summary.Artwork, rolls []summary.Roll, p *summary.Production, asked geometry.Share) (said remarks) {
	var short, sizes []string
	for _, r := range rolls {
		want := artworks[r.Artwork-1].Ordered / r.LabelsPerRoll
		if len(r.Mixed) > 0 || r.Full >= want {
			continue
		}
		short = append(short, fmt.Sprintf("product %d: %s of %s", r.Artwork, say.Number(r.Full), say.Number(want)))
		if size := say.Number(r.LabelsPerRoll); !slices.Contains(sizes, size) {
			sizes = append(sizes, size)
		}
	}
	if len(short) > 0 {
		said.warn(codeRollsNotFull, "not all rolls are full as ordered (%s): the rests of lanes are not joined. Allow splices, or order whole rolls of %s labels for each lane",
			strings.Join(short, ", "), say.List(sizes))
	}
	if p != nil {
		for _, c := range p.Consumables {
			if c.SharePercent >= 100 {
				said.warn(codeWearOut, "the %s wears out within the run, which takes %s %% of its life: have new ones ready, and plan the stops",
					c.Name, say.Fixed(c.SharePercent, 0))
			}
		}
	}
	limit := max(asked, mostOvers)
	for _, a := range artworks {
		if a.Overs > limit.More(a.Ordered)-a.Ordered {
			said.warn(codeOvers, "product %d gets %s %% over its order of %s, %s labels, which nobody asked for: share the stations out otherwise, or gang it with another order",
				a.Artwork, say.Fixed(100*float64(a.Overs)/float64(a.Ordered), 0), say.Number(a.Ordered), say.Number(a.Overs))
		}
	}
	return said
}

// ranks puts warnings in the order of what they risk: a wrong or unlawful label,
// a run that can't be finished or used, money, looks. What is not named stands
// between money and looks. Judgement of our own, no source.
var ranks = [][]string{
	{"drug-label", "look-alike", "fields-left-out", "records-differ", "mixed-lane"},
	{artwork.FontMissing, artwork.ScanIncomplete, artwork.Repaired, artwork.AnnotationBare, artwork.LayerHidden, artwork.LayerAutomatic, artwork.OPI, artwork.PostScript, artwork.Reference},
	{"slitting", mark.CodeSlit, "rolls", mark.CodeEyeRoom, mark.CodeEyeTrack, mark.CodeEyeContrast, "eye-ink", "flexo-walk", mark.CodeRegister, mark.CodeLaneNumbers},
	{"rolls-not-full", "roll-diameter", "wear-out", "overs"},
	nil, // all others
	{mark.CodeGlyph, mark.CodeCentre, "trim-missing", "tiling-shared"},
}

// Rank says how serious a warning of this code is: 0 is the most serious.
func Rank(code string) int {
	others := 0
	for i, codes := range ranks {
		if slices.Contains(codes, code) {
			return i
		}
		if codes == nil {
			others = i
		}
	}
	return others
}

// ranked returns warnings with the most serious first, and those alike as one.
func ranked(list []say.Note) []say.Note {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b say.Note) int { return cmp.Compare(Rank(a.Code), Rank(b.Code)) })
	merged := []say.Note{}
	for len(list) > 0 {
		var alike, others []say.Note
		for _, n := range list {
			if n.Code == list[0].Code {
				alike = append(alike, n)
			} else {
				others = append(others, n)
			}
		}
		merged = append(merged, mergeAlike(alike)...)
		list = others
	}
	return merged
}

// mergeAlike makes one of notes of one code that say the same of several things.
func mergeAlike(list []say.Note) []say.Note {
	var out []say.Note
	for len(list) > 0 {
		texts := []string{list[0].Text}
		var rest []say.Note
		for _, n := range list[1:] {
			switch {
			case slices.Contains(texts, n.Text): // of one file in several lanes
			case say.Alike(list[0].Text, n.Text):
				texts = append(texts, n.Text)
			default:
				rest = append(rest, n)
			}
		}
		out = append(out, say.Note{Code: list[0].Code, Text: say.Merged(texts)})
		list = rest
	}
	return out
}
