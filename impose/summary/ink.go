package summary

import (
	"fmt"
	"strings"

	"quoin/impose/say"
)

// InkUse is how much of one ink the run takes: what its plates put down on the
// frames of the run, make-ready and waste left out.
type InkUse struct {
	Name  string  `json:"name"`
	Kind  string  `json:"kind"`
	Label float64 `json:"label_mm2"` // of solid, on a label with its share of targets and marks
	Frame float64 `json:"frame_m2"`
	M2    float64 `json:"m2"` // of solid, on the run
	// G and Cost are nil where the press file says nothing of the ink.
	G    *float64 `json:"g"`
	Cost *float64 `json:"cost"`
}

// inkRows prints what each ink takes, and in one line what all of them do.
func (s *Summary) inkRows(row func(name, text string, args ...any)) {
	for _, u := range s.InkUse {
		parts := []string{fmt.Sprintf("%s mm2 a label, %s m2 of solid", say.Fixed(u.Label, 1), say.Fixed(u.M2, 2))}
		if u.G != nil {
			parts = append(parts, say.Fixed(*u.G, 0)+" g")
		}
		if u.Cost != nil && s.Production != nil && s.Production.Cost != nil {
			parts = append(parts, say.Fixed(*u.Cost, 2)+" "+s.Production.Cost.Currency)
		}
		row("Ink use", "%s: %s", u.Name, strings.Join(parts, ", "))
	}
}
