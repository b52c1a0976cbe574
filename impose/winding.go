package impose

import (
	"strings"
)

// WindingPart says how the finished roll pays out: always in words, since the
// numbers of published charts contradict each other.
type WindingPart struct {
	Face             string `json:"face"`    // out or in
	Leading          string `json:"leading"` // edge that comes off the roll first: top, bottom, left or right
	Text             string `json:"text"`    // "face out, top leads"
	Words            string `json:"words"`   // a sentence for the people who wind and apply the roll
	Windings         int    `json:"windings"`
	TurnDeg          int    `json:"turn_deg"`           // of the label on the press, that makes the winding
	LastPrintedFirst bool   `json:"last_printed_first"` // the customer's first label is the one printed last
}

// windingPart gives nil where the job doesn't say the winding.
func (im *Imposition) windingPart() *WindingPart {
	w, route := im.Job.Winding, im.Job.Route()
	if w == nil {
		return nil
	}
	return &WindingPart{
		Face:    strings.TrimPrefix(w.Face.String(), "face "),
		Leading: strings.TrimSuffix(w.Leading.String(), " leads"),
		Text:    w.String(), Words: w.Words(), Windings: route.Windings,
		TurnDeg: im.Layout.Turn.Degrees(), LastPrintedFirst: route.LastPrintedFirst(),
	}
}

// finishingLane gives the lane's number at the finishing line, 0 where nobody
// says how often the web is wound up.
func (im *Imposition) finishingLane(lane int) int {
	route := im.Job.Route()
	if route.Check() != nil {
		return 0
	}
	return route.FinishingLane(lane, im.Layout.Across)
}

func (w *WindingPart) row() string {
	order := "as printed"
	if w.LastPrintedFirst {
		order = "last printed first"
	}
	return w.Text + ". " + w.Words + " " + plural(w.Windings, "winding") + ": " + order
}
