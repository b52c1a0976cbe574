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
// # What each search is worth
//
// Measured by switching one search off at a time over 332 problems: the
// published ones, whole lanes, stations, mixed widths, curves without a cost of
// set-ups, long runs, large groups and nights, with 1 to 20 million steps each
// (a night of forty groups leaves two million for each). Each search was
// measured on those problems that call it, or on every second or fourth of
// them. The walk is random: any change moves single plans by up to 1 % either
// way. Without
//
//   - the first plan of blocks, 2 of 14 published problems end without any;
//   - bisection of one run, nothing is lost but the first plan's lengths rest on it;
//   - boxes, 4 proofs of 24 whole-lane and published problems are lost, plans
//     cost up to 3.8 % more;
//   - narrowing, 3 of 9 cases of 13 orders on 8 lanes in four runs lose their proof;
//   - placing lane by lane, 7 proofs are lost and plans cost up to 7.6 % more;
//   - sweeps, stations in three runs cost 0.2 to 1.6 % more and 14 proofs are lost;
//     without their mending 0.3 to 1.0 % more, without their table 6 of 45 proofs;
//   - cells, bounds of stations fall by 0.1 to 1.8 % and 8 proofs are lost; under
//     16 lanes in a run they proved nothing more and are not asked;
//   - relying on sweeps alone at no cost of set-ups, which curves have, long runs
//     on stations cost 0.05 % more and their bounds fall by 0.09 %;
//   - the walk, plans cost 2 to 3 % more, up to 14 %;
//   - its first fit of boxes, 9 of 56 plans of whole lanes cost more and 5 less,
//     of mixed widths 3 more and 9 less: no gain that shows;
//   - its coarse lengths, 12 plans cost more and 13 less: no gain that shows;
//   - grids of the demands' common divisor, cover printing of 15 is not proved;
//   - the covering LP, bounds of mixed widths fall by 4.4 %, and the cutting stock
//     costs 4 % more; without its whole lengths 1.4 % more;
//   - dives, groups of more than 20 orders cost 0.1 to 0.2 % more, smaller ones no
//     more.
//
// Gone is planning order by order, which only a greatest run length called for.
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
