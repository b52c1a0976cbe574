package plan

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"strconv"
	"strings"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/artwork"
	"quoin/impose/desk/edit"
	"quoin/impose/desk/folder"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// Fault says one thing that stands in the way of a frame.
type Fault struct {
	Key   string `json:"key"`             // of the value that it is about; may be empty
	Where string `json:"where,omitempty"` // file:line:column
	Text  string `json:"text"`
	Hint  string `json:"hint,omitempty"`
	Ways  []Way  `json:"ways,omitempty"`
	// Placed says that one of the values that decide shows it.
	Placed bool `json:"-"`

	artworks []string // the files that can't be used, as seen from the folder
}

// Way is a change that gives a frame.
type Way struct {
	Label string      `json:"label"`
	Edits []edit.Edit `json:"edits"`
}

// keyOf returns the value that an error of planning is about.
func keyOf(j *job.Job, err error) string {
	var notFit *geometry.NotFitError
	if errors.As(err, &notFit) && j != nil {
		for _, r := range notFit.Reasons {
			switch {
			case j.Die != "":
				return "die"
			case r.Code == geometry.CodeTooWide && j.Lanes > 0:
				return "lanes"
			case r.Code == geometry.CodeTooWide:
				return "web"
			case r.Code == geometry.CodeTooLong && j.Rows > 0:
				return "rows"
			case r.Code == geometry.CodeTooLong && j.Repeat.Teeth > 0:
				return "teeth"
			case r.Code == geometry.CodeTooLong && j.Repeat.Fixed > 0:
				return "repeat"
			case r.Code == geometry.CodeTooLong:
				return "frame-max"
			}
		}
	}
	switch say.KindOf(err) {
	case say.NotFit:
		if notFit == nil { // the lanes are too few for the artworks
			return "web"
		}
	case say.Artwork:
		return "artworks"
	case say.Inks:
		return "press"
	}
	return ""
}

// artworksOf returns the artworks that an error of planning is about, as seen from
// the folder.
func artworksOf(f *folder.Folder, err error) (list []string) {
	if bad, ok := errors.AsType[*artwork.Error](err); ok {
		list = append(list, f.Rel(bad.Path))
		if bad.With != "" {
			list = append(list, f.Rel(bad.With))
		}
	}
	return list
}

// mostWays is how many changes are offered, of those that are tried.
const mostWays = 4

// ways tries what would do instead, nearest first, and keeps what does.
func (r *Result) ways(ctx context.Context, b *Bench, text []byte, err error) {
	j, _ := Read(b.folder, b.path, text)
	if len(r.Faults) == 0 || j == nil || len(j.Artworks) == 0 || folder.IsOutside(err) {
		return
	}
	families := tries(j)
	if say.KindOf(err) == say.Artwork { // only its size can be met otherwise
		families = nil
		if j.Label != (geometry.Size{}) {
			families = [][]edit.Edit{{{Key: "label"}}}
		}
	}
	for _, family := range families {
		for _, e := range family {
			if ctx.Err() != nil || len(r.Faults[0].Ways) >= mostWays {
				return
			}
			edits := Expand(text, j, e)
			next, err := edit.Apply(text, Order, edits...)
			if err != nil {
				continue
			}
			label := ""
			if b.with(ctx, next, func(_ *impose.Imposition, _ *alike.Found, s *summary.Summary) error {
				label = wayLabel(e, s)
				return nil
			}) == nil {
				r.Faults[0].Ways = append(r.Faults[0].Ways, Way{label, edits})
				break // the nearest of its family
			}
		}
	}
}

// mostSteps bounds how far a count is lowered.
const mostSteps = 12

// tries lists what may give a frame, by families of which one is enough, nearest
// first.
func tries(j *job.Job) (families [][]edit.Edit) {
	fewer := func(key string, n int) (list []edit.Edit) {
		for k := n - 1; k > 0 && n-k <= mostSteps; k-- {
			list = append(list, edit.Edit{Key: key, Value: strconv.Itoa(k)})
		}
		return list
	}
	families = append(families, fewer("lanes", j.Lanes), fewer("rows", j.Rows))
	var turns []edit.Edit
	for _, t := range []string{"auto", "0", "90", "180", "270"} {
		if len(j.Turns) > 0 || j.Winding == nil { // a winding decides; it isn't overruled by chance
			turns = append(turns, edit.Edit{Key: "turn", Value: t})
		}
	}
	families = append(families, turns)
	if j.Press != nil {
		webs := slices.Clone(j.Press.Webs)
		webs = append(webs, j.Press.WebMax)
		slices.SortStableFunc(webs, func(a, b geometry.Length) int { return cmp.Compare(far(a, j.WebWidth), far(b, j.WebWidth)) })
		var list []edit.Edit
		for _, w := range webs {
			if w > 0 && w != j.WebWidth {
				list = append(list, edit.Edit{Key: "web", Value: w.Digits() + "mm"})
			}
		}
		families = append(families, list)
		if long := j.Press.LongestFrame; long > 0 {
			families = append(families, []edit.Edit{{Key: "frame-max", Value: long.Digits() + "mm"}})
		}
	}
	if j.Die != "" {
		families = append(families, []edit.Edit{{Key: "die"}})
	}
	return families
}

func far(a, b geometry.Length) geometry.Length { return max(a-b, b-a) }

// wayLabel names a change for its button.
func wayLabel(e edit.Edit, s *summary.Summary) string {
	labels := ": " + say.Count(s.Layout.Labels, "label") + " a frame"
	value := strings.TrimSuffix(e.Value, "mm")
	if value != e.Value {
		value += " mm"
	}
	switch e.Key {
	case "lanes", "rows":
		return value + " " + e.Key + labels
	case "web":
		return "Web of " + value + labels
	case "frame-max":
		return "Frame of up to " + value + labels
	case "turn":
		return "Turn by " + value + "°" + labels
	case "label":
		return "Label as the artwork's trim" + labels
	case "die":
		return "Without the die" + labels
	}
	return e.Key + " " + value + labels
}
