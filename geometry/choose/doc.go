// Package choose shares orders out over the ways to print them: press, web, die
// and turn, and which inks share runs.
//
// # The model
//
// Each way is a bed. Orders that are printed on one bed together are a cell, and
// its runs are those that geometry/gang finds: cells share nothing. An order
// stands in one cell, so that all its labels come from one press, web and die. A
// cell pays for the inks of all its orders, by their number: the bed's ladder.
// The cost of a choice is the sum over its cells.
//
// # The search
//
// Of few orders every set of them on every bed is a possible cell. Each has a
// bound and, after a look, a plan; the cheapest partition by the bounds is found
// by dynamic programming over subsets, its cells are searched on, and so again
// until a partition is the cheapest whose cells are all proved (exact.go).
//
// Of many, starts are tried: those of the caller, and each bed alone. The best is
// improved by moving and joining; the LP over classes of orders (cover.go) bounds the
// cost and gives one more start. Where nothing but lanes and lengths decides which
// orders may share a run, runs of all beds are then looked for together (joint.go):
// a covering LP over all of them, with the costs of lanes, prices the runs
// (master.go, simplex.go, prove.go, pool.go, fill.go, worst.go, knapsack.go) and bounds the
// cost of all choices; one with more rows begins where the one before ended (next.go,
// mend.go). Rounded parts of orders (cuts.go) and cases by tool, inks and whole numbers of
// runs (bracket.go) raise that bound; of very many orders it is that of classes of them
// (classes.go).
// Annealing shares the orders out over runs in which each is whole, from several
// beginnings (anneal.go, step.go, onerun.go). Runs that are good already are annealed with
// links, so that they may print parts of the same orders: the lengths of those are
// balanced together (linked.go, linkedstep.go, linking.go, trial.go, balance.go). With the
// same work that ended 0.14 per cent lower, over the thirty families of a night of 1,000
// orders, than with parts of fixed size. A few runs at a time are freed and their orders
// printed anew, by geometry/gang and run by run as the LP has most of them, in turns with
// that (again.go, anew.go, dive.go), rather where runs cost more than the LP says that they
// are worth, and around runs that were found otherwise (guide.go, insert.go). All that is
// done from many beginnings, of which the best go on (planned.go). What the first search
// had found is returned beside it: with a longer search for the runs of its cells, it may
// still cost less.
package choose
