package plan

import (
	"context"
	"path"
	"slices"

	"quoin/impose/desk/edit"
)

// relaxed are keys of a job that hold its artworks to a size or a place: without
// one of them, what else stands in the way comes to light.
var relaxed = [][]string{{"label"}, {"die"}, {"lanes", "rows"}}

// Obstacles plans a text in which an artwork, named as seen from the folder, is new,
// and lists all that stands in the way of its frame: planning ends at the first, so it
// is asked again without what that may rest on. The plan is that of the text.
func (b *Bench) Obstacles(ctx context.Context, text []byte, file string) (*Result, []Fault, error) {
	r, err := b.Plan(ctx, text)
	if err != nil || r.Planned() {
		return r, []Fault{}, err
	}
	list := slices.Clone(r.Faults)
	said, next := edit.Values(text), text
	for _, keys := range relaxed {
		var edits []edit.Edit
		for _, k := range keys {
			if said[k] != "" {
				edits = append(edits, edit.Edit{Key: k})
			}
		}
		if len(edits) == 0 {
			continue
		}
		if next, err = edit.Apply(next, Order, edits...); err != nil {
			return nil, nil, err
		}
		other, err := b.Plan(ctx, next)
		if err != nil {
			return nil, nil, err
		}
		for _, f := range other.Faults {
			if f.Key == "artworks" && !slices.Contains(f.artworks, path.Clean(file)) {
				continue // that is as it was
			}
			if !slices.ContainsFunc(list, func(g Fault) bool { return g.Text == f.Text }) {
				f.Ways = nil // they would leave the first in the way
				list = append(list, f)
			}
		}
	}
	return r, list, nil
}

// NewRemarks returns what is remarked of a plan and wasn't of another.
func NewRemarks(from, to *Result) []Remark {
	list := []Remark{}
	for _, m := range to.Remarks {
		if !slices.ContainsFunc(from.Remarks, func(o Remark) bool { return o.Text == m.Text }) {
			list = append(list, m)
		}
	}
	return list
}
