package gang

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
)

// Helping is a part of a search that can be spent anywhere: a problem, the seed of
// its random choices, and the steps that it was given by and by. The last of them
// are those to be spent; whoever does not have the search as it stood before them
// comes to it by spending the others once more.
type Helping struct {
	Problem Problem
	Seed    uint64
	Steps   []int64
}

// Spent is where a search stands behind a helping.
type Spent struct {
	Plan   Plan
	Bounds Bounds
	Used   int64 // steps of the last helping that were spent
}

// Elsewhere spends helpings of several searches at a time.
type Elsewhere func(ctx context.Context, h *Helping) (*Spent, error)

// Shelf keeps the searches that were last at work.
type Shelf struct {
	most  int
	mu    sync.Mutex
	kept  map[string]*solver
	order []string
}

// NewShelf returns one for so many searches.
func NewShelf(most int) *Shelf { return &Shelf{most: most, kept: map[string]*solver{}} }

// key stands for a search and the first n helpings that were spent on it.
func (h *Helping) key(n int) (string, error) {
	text, err := json.Marshal(Helping{h.Problem, h.Seed, h.Steps[:n]})
	sum := sha256.Sum256(text)
	return string(sum[:]), err
}

// Spend spends a helping. Errors are those of the problem, of a helping of no
// steps and of a cancelled context.
func (s *Shelf) Spend(ctx context.Context, h *Helping) (*Spent, error) {
	if len(h.Steps) == 0 || len(h.Steps) > 1000 {
		return nil, errors.New("a helping of a search has no steps, or far too many")
	}
	for _, n := range h.Steps {
		if n < 1 {
			return nil, fmt.Errorf("a helping of %d steps", n)
		}
	}
	last := len(h.Steps) - 1
	before, err := h.key(last)
	if err != nil {
		return nil, err
	}
	one := s.take(before)
	if one == nil {
		if one, err = newSolver(ctx, h.Problem, h.Seed, nil); err != nil {
			return nil, err
		}
		for _, n := range h.Steps[:last] {
			one.search(n)
		}
	}
	one.m.ctx = ctx
	used := one.m.used
	one.search(h.Steps[last])
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	plan, bounds, err := one.result()
	if err != nil {
		return nil, err
	}
	after, err := h.key(len(h.Steps))
	if err != nil {
		return nil, err
	}
	s.keep(after, one)
	return &Spent{plan, bounds, one.m.used - used}, nil
}

// take takes a search off the shelf; nil where it is not there.
func (s *Shelf) take(key string) *solver {
	s.mu.Lock()
	defer s.mu.Unlock()
	one := s.kept[key]
	delete(s.kept, key)
	return one
}

// keep puts a search on the shelf, and the one that lay there longest away.
func (s *Shelf) keep(key string, one *solver) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.kept[key] = one
	s.order = append(s.order, key)
	for len(s.order) > s.most {
		delete(s.kept, s.order[0])
		s.order = s.order[1:]
	}
}
