package impose

import (
	"fmt"

	"quoin/geometry"
)

// DiePart is the die that cuts the job.
type DiePart struct {
	Number        string  `json:"number"`
	Station       string  `json:"station"`
	Cylinder      string  `json:"cylinder,omitempty"`
	RepeatMM      float64 `json:"repeat_mm"`       // web that one turn or stroke takes
	TurnsPerFrame int     `json:"turns_per_frame"` // turns or strokes
	WalkMM        float64 `json:"walk_mm"`         // by which print and a full-rotary die drift apart with every frame
	Place         string  `json:"place,omitempty"` // where it is kept
	Condition     string  `json:"condition,omitempty"`
}

// layOnDie takes grid, gaps and repeat from the job's die, once everything is
// compared: size, radius, station, material, stripping and the frame's length.
func (im *Imposition) layOnDie(d *geometry.Die, r geometry.Request) (*geometry.Layout, error) {
	wish, err := im.wish(r.Label)
	if err != nil {
		return nil, err
	}
	im.borrowShape(&wish, d)
	wish.Webs = []geometry.Web{r.Web}
	fits, err := geometry.RankDies([]geometry.Die{*d}, wish)
	if err != nil {
		return nil, err
	}
	f := &fits[0]
	reasons := f.Reasons()
	if f.Fits {
		reasons = im.otherGrid(f, r.Lanes)
	}
	if len(reasons) > 0 {
		for i := range reasons {
			reasons[i].Text = "die " + d.Number + ": " + reasons[i].Text
		}
		return nil, &geometry.NotFitError{Reasons: reasons}
	}
	for _, w := range f.Warnings {
		switch w.Code {
		case "bleed-clipped": // said of every layout
		case "narrower-web":
			im.notes = append(im.notes, Warning{w.Code, w.Text})
		default:
			im.warn(w.Code, "die %s: %s", d.Number, w.Text)
		}
	}
	return f.Layout(), nil
}

// otherGrid tells where the job wants other lanes or rows than the die has; lanes
// are those that the artworks take.
func (im *Imposition) otherGrid(f *geometry.Fit, lanes int) []geometry.Reason {
	var reasons []geometry.Reason
	differ := func(what string, wanted, has int) {
		reasons = append(reasons, geometry.Reason{Code: "count",
			Text: fmt.Sprintf("the job asks for %d %s, the die has %d", wanted, what, has), Nearest: "leave " + what + " out, or the die"})
	}
	if lanes > f.Across || im.Job.Lanes > 0 && im.Job.Lanes != f.Across {
		differ("lanes", lanes, f.Across)
	}
	if im.Job.Rows > 0 && im.Job.Rows != f.Around {
		differ("rows", im.Job.Rows, f.Around)
	}
	return reasons
}

// diePart gives nil where the job names no die.
func (im *Imposition) diePart() *DiePart {
	d := im.Job.Tool()
	if d == nil {
		return nil
	}
	p := &DiePart{
		Number: d.Number, Station: string(d.Station), RepeatMM: d.Advance().MM(),
		Place: d.Place, Condition: string(d.Condition),
	}
	if d.Cylinder.Teeth > 0 {
		p.Cylinder = d.Cylinder.String()
	}
	if d.Rows > 0 {
		p.TurnsPerFrame = im.Layout.Around / d.Rows
	}
	if d.Station == geometry.FullRotary {
		_, walk := geometry.Walk(im.Layout.Repeat, d.Advance())
		p.WalkMM = walk.MM()
	}
	return p
}

func (p *DiePart) row() string {
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
	text += fmt.Sprintf("; %s of %s mm in a frame", plural(p.TurnsPerFrame, step), digits(p.RepeatMM))
	if step == "turn" {
		text += fmt.Sprintf(", walk %s mm", digits(p.WalkMM))
	}
	return text
}
