package spread

import (
	"context"
	"encoding/json"
	"fmt"

	"quoin/geometry/gang"
	"quoin/impose/queue/hand"
	"quoin/impose/queue/task"
	"quoin/impose/queue/work"
)

// Search lets helpings of the search of a group be spent elsewhere.
type Search struct{ *hand.Hander }

// Spend hands a helping over.
func (s Search) Spend(ctx context.Context, h *gang.Helping) (*gang.Spent, error) {
	input, err := json.Marshal(h)
	if err != nil {
		return nil, err
	}
	got, err := s.Do(ctx, &task.Task{Kind: task.Search, Title: fmt.Sprintf("search of %d orders", len(h.Problem.Orders)), Input: input}, nil)
	if err != nil {
		return nil, err
	}
	defer got.Close()
	var spent gang.Spent
	if err := json.Unmarshal(got.Output, &spent); err != nil {
		return nil, fmt.Errorf("what a search found can't be read: %w", err)
	}
	return &spent, spent.Plan.Check(&h.Problem)
}

// searches keeps the searches that this process was last at, so that the next
// helping of one goes on and does not begin anew.
var searches = gang.NewShelf(16)

// doSearch spends a helping.
func doSearch(ctx context.Context, t *task.Task) (*work.Answer, error) {
	var h gang.Helping
	if err := json.Unmarshal(t.Input, &h); err != nil {
		return nil, fmt.Errorf("a search's input: %w", err)
	}
	spent, err := searches.Spend(ctx, &h)
	if err != nil {
		return answered(ctx, nil, err)
	}
	a := &work.Answer{}
	a.Output, err = json.Marshal(spent)
	return a, err
}
