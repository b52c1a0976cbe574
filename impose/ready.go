package impose

import (
	"quoin/impose/conform"
	"quoin/impose/draw"
	"quoin/impose/ink"
)

// readiness finds what stands in the way of the PDF/X-4 marker: the file
// carries it only where nothing does.
func (im *Imposition) readiness() error {
	add := func(artwork string, list ...conform.Breach) {
		for _, b := range list {
			im.breaches = append(im.breaches, BreachPart{b.Rule, b.Text, artwork, b.Page, b.Object})
		}
	}
	space, breaches := im.conditionSpace()
	add("", breaches...)
	for i, p := range im.Pages {
		add(im.Job.Artworks[i].File, conform.Content(p, space)...)
	}
	if space != "CMYK" && im.drawsDevice() {
		add("", conform.Breach{Rule: conform.DeviceColour, Text: "marks, targets and fields are in DeviceCMYK, which needs an output intent for CMYK"})
	}
	for _, e := range im.Inks.Inks {
		if im.names.differs(e) && im.names.source(e.Name) == nil {
			add("", conform.Breach{Rule: conform.Spots, Text: e.Name + " has several looks, and no artwork has a colour space for it alone"})
		}
	}
	if im.date().IsZero() {
		add("", conform.Breach{Rule: conform.Metadata, Text: "neither the artworks nor the job give a date"})
	}
	if side := max(im.Frame.Size.Across, im.Frame.Size.Around).Points(); side > 14_400 {
		add("", conform.Breach{Rule: conform.Size, Text: "the frame is longer than 14,400 points"})
	}
	return nil
}

// conditionSpace gives the space of the output intent's profile, and what is
// wrong with the intent.
func (im *Imposition) conditionSpace() (string, []conform.Breach) {
	in := im.intent
	if in.From != nil {
		return conform.Condition(in.From.Doc, in.From.OutputIntent.Dict)
	}
	lacks := func(text string) []conform.Breach { return []conform.Breach{{Rule: conform.Intent, Text: text}} }
	switch {
	case in.Condition == "" && in.Profile == nil:
		return "", lacks("there is no output intent")
	case in.Profile == nil:
		return "", lacks("the job's output intent has no profile")
	}
	space, fault := conform.Profile(in.Profile)
	if fault != "" {
		return space, lacks(fault)
	}
	if in.Condition == "" {
		return space, lacks("the job's output intent doesn't name its condition")
	}
	return space, nil
}

// drawsDevice tells whether the engine draws in DeviceCMYK, or in spots of its
// own that stand on it.
func (im *Imposition) drawsDevice() bool {
	uses := func(p draw.Paint) bool {
		for _, t := range p.Tints {
			if ink.IsProcess(t.Ink) || im.names.source(t.Ink) == nil || len(p.Tints) > 1 {
				return true
			}
		}
		return false
	}
	for _, f := range im.Job.Fields {
		if uses(draw.Solid(f.Ink)) {
			return true
		}
	}
	for _, item := range im.Frame.Items {
		switch it := item.(type) {
		case draw.Fill:
			if uses(it.Paint) {
				return true
			}
		case draw.Stroke:
			if uses(it.Paint) {
				return true
			}
		case draw.Text:
			if uses(it.Paint) {
				return true
			}
		}
	}
	return false
}
