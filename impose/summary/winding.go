package summary

import (
	"fmt"
	"slices"

	"quoin/impose/say"
)

// Winding says how the finished roll pays out: always in words, since the
// numbers of published charts contradict each other.
type Winding struct {
	Face             string `json:"face"`    // out or in
	Leading          string `json:"leading"` // edge that comes off the roll first: top, bottom, left or right
	Text             string `json:"text"`    // "face out, top leads"
	Words            string `json:"words"`   // a sentence for the people who wind and apply the roll
	Windings         int    `json:"windings"`
	TurnDeg          int    `json:"turn_deg"`           // of the label on the press, that makes the winding
	LastPrintedFirst bool   `json:"last_printed_first"` // the customer's first label is the one printed last
	FirstRoll        string `json:"first_roll"`         // labels on the roll that is wound first: printed_first or printed_last
}

// FirstRollHas says in words which labels are on the roll that the last rewinder
// winds first: it begins with what comes off last in the end.
func (w *Winding) FirstRollHas() string {
	if w.FirstRoll == "printed_first" {
		return "roll 1, wound first, has the labels printed first"
	}
	return "roll 1, wound first, has the labels printed last"
}

func (w *Winding) row() string {
	order := "as printed"
	if w.LastPrintedFirst {
		order = "last printed first"
	}
	return w.Text + ". " + w.Words + " " + say.Count(w.Windings, "winding") + ": " + order + "; " + w.FirstRollHas()
}

// TurnText says how the labels are turned, in " degrees" or "°", lane by lane where
// they differ.
func (s *Summary) TurnText(unit string) string {
	of := map[int][]int{}
	for _, l := range s.Lanes {
		if l.TurnDeg != nil {
			of[*l.TurnDeg] = append(of[*l.TurnDeg], l.Lane)
		}
	}
	var parts []string
	for _, turn := range []int{0, 90, 180, 270} {
		if on := of[turn]; len(on) > 0 {
			parts = append(parts, fmt.Sprintf("%d%s in %s", turn, unit, lanes(on)))
		}
	}
	if len(parts) == 0 {
		return fmt.Sprintf("%d%s", s.Layout.TurnDeg, unit)
	}
	return say.List(parts)
}

// WindingsDiffer reports whether products pay out differently.
func (s *Summary) WindingsDiffer() bool {
	return slices.ContainsFunc(s.Artworks, func(a Artwork) bool { return a.Winding != nil })
}
