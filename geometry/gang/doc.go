// Package gang finds which orders share a frame, so that a night of small
// orders takes the least web and the fewest set-ups, and says how far the plan
// can be from the best possible one.
//
// # The model
//
// A run is one set-up of the press: it gives order i a number of lanes p_i
// (or stations, where orders may mix inside a lane), with
//
//	sum of w_i * p_i <= Capacity
//
// and is printed for a length R, a whole number of Steps. Every lane yields R
// of its order, so over all runs t
//
//	Demand_i <= sum of p_it * R_t <= Most_i
//
// and the cost is LengthCost * sum of R + RunCost * number of runs. With equal
// labels w_i is 1 and Capacity counts lanes or stations; with labels of
// different widths w_i is the label with its gap and Capacity the band. Demand
// and R are in one unit of the caller's choice: frames per lane, labels per
// station, or lane length in nanometres with the repeat as Step.
//
// # The search
//
// A first plan cuts the orders, sorted by quantity, into blocks (contiguous.go).
// From then on exact searches, heuristics and bounds take turns, with more steps
// in each round, until the plan is proved or the steps are spent (solve.go).
// Each exact search proves a bound, or finds the best plan, for a number of
// runs, and has its place:
//
//   - one run: bisection (onerun.go);
//   - few lanes: halving intervals of lengths, with a table of the capacities of
//     the runs (boxes.go, table.go), and near the volume narrowing lengths and
//     lanes in turn (narrow*.go);
//   - many stations in three runs and more: trying all lengths of one sum, each
//     by prices of the capacities (sweep.go, places.go, auction.go, mend.go), and
//     refuting cells of them (cells*.go);
//   - hardly more lanes than orders, or orders tied to their neighbours: placing
//     lane by lane (branch.go).
//
// For many runs the plan is improved by planning a few of them again
// (improve.go), by coarse lengths (coarse.go) and by the prices of the covering
// LP (columns.go, dive.go), which also bound the cost. The other bounds are the
// volume and the prefixes (bound_*.go); bounds.go keeps what is proved.
//
// # Repeatability
//
// Work is counted in steps, not in seconds. The same problem, Seed and
// Limits.Steps give the same plan however fast the machine is and however many
// cores share the work. (Processors that fuse multiplications may round the
// prices of the covering LP otherwise, so the promise holds for one kind of
// processor; bounds are safe on all.) A deadline or a cancelled context stops
// the search early with the best plan so far; only then may two starts differ.
// StepsFor turns a duration into steps at a fixed nominal rate, so that a time
// asked for on a command line still gives one plan.
package gang
