package summary

import (
	"fmt"

	"quoin/impose/say"
)

// Flexo is the flexographic unit in line. Its plate's artwork is scaled by
// the factor around the cylinder, by the plate maker; the digital frame is not.
type Flexo struct {
	For       string  `json:"for,omitempty"`
	PlateMM   float64 `json:"plate_mm"`
	BackingMM float64 `json:"backing_mm"` // of it that doesn't stretch
	RepeatMM  float64 `json:"repeat_mm"`  // of its cylinder
	Factor    float64 `json:"plate_factor"`
	WalkMM    float64 `json:"walk_mm"` // by which print and plate drift apart with every frame
}

func (p *Flexo) row() string {
	text := fmt.Sprintf("plate factor %.6f around a repeat of %s, for the plate maker only", p.Factor, say.MM(p.RepeatMM))
	if p.For != "" {
		text = p.For + ": " + text
	}
	if p.WalkMM > 0 {
		text += fmt.Sprintf("; it walks %s with every frame", say.MM(p.WalkMM))
	}
	return text
}
