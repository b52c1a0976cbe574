package plan

import (
	"context"
	"slices"

	"quoin/geometry/gang"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// inStock weighs every plan of few orders by what is in stock, from groups that it does
// for. It returns groups that cost less; nil where it finds none.
func inStock(ctx context.Context, groups []*group, orders []*intake.Order, r *night.Rules) ([]*group, error) {
	if len(orders) > mostFew {
		return nil, nil
	}
	orders, inks, err := lieTogether(ctx, orders, r)
	if err != nil {
		return nil, err
	}
	start, err := groupUp(orders, inks, r)
	if err != nil {
		return nil, err
	}
	all := families(orders, start, r)
	b := newRebedding(ctx, all, groups, r)
	if b == nil {
		return nil, nil
	}
	b.best = groups
	b.cost = b.price(groups)
	x := &few{rebedding: b, orders: orders, share: 1, left: cores * gang.StepsFor(r.Time), lasting: true}
	if !x.list(all) {
		return nil, nil
	}
	x.look()
	before := x.cost
	x.lay(len(x.floor)-1, 0, nil)
	if x.cost >= before || slices.Contains(x.best, nil) {
		return nil, ctx.Err()
	}
	return x.best, ctx.Err()
}
