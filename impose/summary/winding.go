package summary

import "quoin/impose/say"

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
