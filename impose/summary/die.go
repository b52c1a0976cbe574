package summary

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/say"
)

// Die is the die that cuts the job.
type Die struct {
	Number        string  `json:"number"`
	Station       string  `json:"station"`
	Cylinder      string  `json:"cylinder,omitempty"`
	RepeatMM      float64 `json:"repeat_mm"`       // web that one turn or stroke takes
	TurnsPerFrame int     `json:"turns_per_frame"` // turns or strokes
	WalkMM        float64 `json:"walk_mm"`         // by which print and a full-rotary die drift apart with every frame
	Place         string  `json:"place,omitempty"` // where it is kept
	Condition     string  `json:"condition,omitempty"`
}

func (p *Die) row() string {
	text := fmt.Sprintf("%s, %s", p.Number, p.Station)
	for _, s := range []string{p.Cylinder, p.Place} {
		if s != "" {
			text += ", " + s
		}
	}
	if p.TurnsPerFrame == 0 {
		return text // a laser
	}
	step := "stroke"
	if p.Station == string(geometry.FullRotary) {
		step = "turn"
	}
	text += fmt.Sprintf("; %s of %s in a frame", say.Count(p.TurnsPerFrame, step), say.MM(p.RepeatMM))
	if step == "turn" {
		text += ", walk " + say.MM(p.WalkMM)
	}
	return text
}
