// Package plan plans the gang runs of a night: which orders share a frame, in
// how many lanes, for how long; what no plan undercuts, what each rule costs and
// what one more set-up would buy.
package plan
