// Package alike finds labels that share a run and are easily taken for each
// other, by their plates, and orders them so that they stand apart.
package alike

import (
	"cmp"
	"context"
	"fmt"
	"path"
	"sync"

	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/plate"
	"quoin/impose/raster"
	"quoin/impose/say"
)

// The codes of what there is to say.
const (
	Code        = "look-alike"
	NotCompared = "not-compared"
)

// Codes is what the manual says of them.
var Codes = say.Codes{Title: "warnings about labels that share a run", List: []say.Meaning{
	{Code: Code, Text: "two labels look alike and are not the same"},
	{Code: NotCompared, Text: "labels could not be compared by their plates"},
}}

// Caution is the usual one; no source.
const Caution = "labels that look alike are mixed up easily, and with drugs and allergens that hurts people: keep their rolls apart, mark them, and check each before it leaves; " +
	"local rules and the customer's quality unit decide"

// Label is an artwork's page. Content tells pages apart: those of one content are
// drawn once.
type Label struct {
	Page    *artwork.Page
	Content string
}

// Pair is two labels of a list, by their places, that look alike.
type Pair struct {
	A, B int
	*plate.Likeness
}

// Finder compares labels. It starts a renderer when the first are to be drawn, and
// may be shared by several goroutines, which then wait for each other.
type Finder struct {
	// Start starts the renderer.
	Start func(context.Context) (*raster.Renderer, error)

	mu       sync.Mutex
	renderer *raster.Renderer
	looks    map[string]*plate.Look
	known    map[[2]string]*plate.Likeness
}

// mostLooks bounds what is kept: 0.4 MB for each label of usual size.
const mostLooks = 128

// New returns a finder.
func New() *Finder {
	return &Finder{Start: func(ctx context.Context) (*raster.Renderer, error) { return raster.New(ctx, func(string) {}) }, looks: map[string]*plate.Look{}, known: map[[2]string]*plate.Likeness{}}
}

// Close ends the renderer, if one was started.
func (f *Finder) Close() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.renderer == nil {
		return nil
	}
	return f.renderer.Close()
}

// Pairs finds the labels of a list that look alike and are not the same. Labels of
// different sizes are never drawn.
func (f *Finder) Pairs(ctx context.Context, labels []Label) ([]Pair, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	var out []Pair
	for i, a := range labels {
		for k := i + 1; k < len(labels); k++ {
			b := labels[k]
			if a.Content == b.Content || !plate.SameSize(a.Page, b.Page) {
				continue
			}
			l, err := f.compare(ctx, a, b)
			if err != nil {
				return nil, err
			}
			if l.Alike() {
				out = append(out, Pair{i, k, l})
			}
		}
	}
	return out, nil
}

func (f *Finder) compare(ctx context.Context, a, b Label) (*plate.Likeness, error) {
	key := [2]string{a.Content, b.Content}
	if l := f.known[key]; l != nil {
		return l, nil
	}
	x, err := f.look(ctx, a)
	if err != nil {
		return nil, err
	}
	y, err := f.look(ctx, b)
	if err != nil {
		return nil, err
	}
	l := x.Compare(y, plate.LookAlike)
	if l.Alike() {
		if err := l.Show(ctx, f.renderer, a.Page, b.Page); err != nil {
			return nil, err
		}
	}
	f.known[key] = l
	return l, nil
}

func (f *Finder) look(ctx context.Context, l Label) (*plate.Look, error) {
	if known := f.looks[l.Content]; known != nil {
		return known, nil
	}
	if f.renderer == nil {
		r, err := f.Start(context.WithoutCancel(ctx))
		if err != nil {
			return nil, err
		}
		f.renderer = r
	}
	seen, err := plate.See(ctx, f.renderer, l.Page)
	if err != nil {
		return nil, err
	}
	if len(f.looks) >= mostLooks {
		clear(f.looks)
	}
	f.looks[l.Content] = seen
	return seen, nil
}

// standing says in which lanes the labels of a pair stand.
func standing(lanes [2][]int) string {
	of := func(list []int) string { return say.List(say.Numbers(list)) }
	if len(lanes[0]) == 1 && len(lanes[1]) == 1 {
		return "lanes " + of(lanes[0]) + " and " + of(lanes[1])
	}
	in := func(list []int) string {
		if len(list) == 1 {
			return "lane " + of(list)
		}
		return "lanes " + of(list)
	}
	return in(lanes[0]) + ", and in " + in(lanes[1])
}

// Note says of a pair of a job's labels what a person must know: lanes names where each
// stands, from 1, and is empty where lanes are mixed. picture may be empty.
func (p *Pair) Note(artworks []job.Artwork, lanes [2][]int, picture string) say.Note {
	where := ""
	if len(lanes[0]) > 0 && len(lanes[1]) > 0 {
		near := say.Where(neighbours(lanes), "neighbouring ")
		where = ", in " + near + standing(lanes) + ","
	}
	if picture != "" {
		picture = " (" + picture + ")"
	}
	return say.Note{Code: Code, Text: fmt.Sprintf("%s and %s%s differ in %s %% of their area only, most of it %s mm across and %s mm around from the trim's leading left corner%s: %s",
		product(artworks, p.A), product(artworks, p.B), where, say.Fixed(max(p.Percent, 0.01), 2), say.Fixed(p.Place.Min.Across.MM(), 0), say.Fixed(p.Place.Min.Around.MM(), 0), picture, Caution)}
}

// product names a product by its number and by what it or its file is called.
func product(artworks []job.Artwork, i int) string {
	a := artworks[i]
	return fmt.Sprintf("product %d (%s)", i+1, cmp.Or(a.Product, path.Base(a.File)))
}

// Failed says that labels could not be compared.
func Failed(err error) say.Note {
	return say.Note{Code: NotCompared, Text: "the labels of the run were not compared with each other: " + say.WithHint(err) + "; look for look-alikes by eye"}
}

// neighbours reports whether a lane of one stands beside a lane of the other.
func neighbours(lanes [2][]int) bool {
	for _, a := range lanes[0] {
		for _, b := range lanes[1] {
			if a-b == 1 || b-a == 1 {
				return true
			}
		}
	}
	return false
}
