package alike

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/say"
)

// Comparer finds the labels of an imposition that look alike and are not the same. A
// Finder does so by itself.
type Comparer interface {
	Compare(ctx context.Context, im *impose.Imposition) ([]Pair, error)
}

// Compare finds the labels of an imposition that look alike.
func (f *Finder) Compare(ctx context.Context, im *impose.Imposition) ([]Pair, error) {
	contents, err := Contents(im)
	if err != nil {
		return nil, err
	}
	labels := make([]Label, len(im.Pages))
	for i, page := range im.Pages {
		labels[i] = Label{Page: page, Content: contents[i]}
	}
	return f.Pairs(ctx, labels)
}

// Contents tells the labels of an imposition apart by the bytes of their files and by
// what the job makes of their inks, so that a label is known again in another job.
func Contents(im *impose.Imposition) ([]string, error) {
	inks, err := json.Marshal(im.Job.Inks)
	if err != nil {
		return nil, err
	}
	list := make([]string, len(im.Pages))
	for i, page := range im.Pages {
		sum, err := im.Sum(page)
		if err != nil {
			return nil, err
		}
		list[i] = fmt.Sprintf("%s %d %d %s", sum, page.Number, im.Job.Bleed, inks)
	}
	return list, nil
}

// Order returns the order of an imposition's artworks from the left in which the
// fewest look-alikes are neighbours, those that differ most; nil where they stand in
// it. Lanes of one width stay together.
func Order(im *impose.Imposition, pairs []Pair) []int {
	if order := order(im, pairs); !slices.IsSorted(order) {
		return order
	}
	return nil
}

func order(im *impose.Imposition, pairs []Pair) []int {
	sizes := make([]geometry.Size, len(im.Pages))
	for i := range sizes {
		sizes[i] = im.LabelSize(i)
	}
	return Apart(len(sizes), pairs, func(i int) int { return slices.Index(sizes, sizes[i]) })
}

// Found is what comparing the labels of a job came to.
type Found struct {
	Pairs  []Pair
	Order  []int // of the artworks from the left, in which look-alikes are parted better; nil: none is better
	Fewer  bool  // of them are neighbours in that order; else those that are differ more
	Parted bool  // the lanes stand in that order
	Failed error // why the labels were not compared
}

// Part compares the labels of a job with several artworks. A job that says nothing of
// its lanes leaves them to the engine, which parts those that look alike, unless they
// are held. Lanes that a job file gives are a person's choice and stay, and so do those
// to which records are given, so that a reprint's are the run's. What is returned takes
// the place of im and is closed for both. The error is that of a context that ended, or
// of planning once more.
func Part(ctx context.Context, by Comparer, im *impose.Imposition, held bool) (*impose.Imposition, *Found, error) {
	found := &Found{}
	if len(im.Pages) < 2 {
		return im, found, nil
	}
	found.Pairs, found.Failed = by.Compare(ctx, im)
	if ctx.Err() != nil {
		return im, nil, ctx.Err()
	}
	if found.Failed != nil || len(found.Pairs) == 0 {
		return im, found, nil
	}
	found.advise(im)
	if found.Order == nil || held || im.Job.Data != nil || slices.ContainsFunc(im.Job.Artworks, placed) {
		return im, found, nil
	}
	parted, err := impose.Rework(im, found.Order)
	if err != nil {
		return im, nil, err
	}
	found.Parted = true
	return parted, found, nil
}

// placed reports whether a job says where on the frame an artwork stands.
func placed(a job.Artwork) bool { return a.LaneCount > 0 || len(a.LaneList) > 0 || a.StationCount > 0 }

// advise sets an order that is better than the lanes that the artworks have.
func (f *Found) advise(im *impose.Imposition) {
	order := order(im, f.Pairs)
	now := touching(f.Pairs, func(art int) []int { return impose.LanesOf(im.Planned, art) })
	then := touching(f.Pairs, func(art int) []int { return []int{slices.Index(order, art)} })
	if then.compare(now) < 0 {
		f.Order, f.Fewer = order, len(then) < len(now)
	}
}

// touching returns what look-alikes differ by that stand in neighbouring lanes.
func touching(pairs []Pair, lanes func(art int) []int) touch {
	var t touch
	for i := range pairs {
		if p := &pairs[i]; neighbours([2][]int{lanes(p.A), lanes(p.B)}) {
			t = t.and(p.said())
		}
	}
	return t
}

// Notes says which labels of an imposition look alike, a note for each pair; picture
// names where it is seen how, and may be empty.
func (f *Found) Notes(im *impose.Imposition, picture string) []say.Note {
	if f.Failed != nil {
		return []say.Note{Failed(f.Failed)}
	}
	var notes []say.Note
	for i := range f.Pairs {
		p := &f.Pairs[i]
		notes = append(notes, p.Note(im.Job.Artworks, [2][]int{impose.LanesOf(im.Planned, p.A), impose.LanesOf(im.Planned, p.B)}, picture))
	}
	if f.Order == nil {
		return notes
	}
	numbers := make([]int, len(f.Order))
	for i, art := range f.Order {
		numbers[i] = art + 1
	}
	names := say.List(say.Numbers(numbers))
	better := "fewer that look alike are neighbours"
	if !f.Fewer {
		better = "those that look most alike are no neighbours"
	}
	if f.Parted {
		notes[0].Text += "; the lanes stand in the order " + names + ", in which " + better + " (give the artworks lanes to order them yourself)"
	} else {
		notes[0].Text += "; named in the order " + names + ", " + better
	}
	return notes
}
