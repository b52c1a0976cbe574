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
// (improve.go), by annealing up to fourteen at once (squeeze*.go) and by the prices
// of the covering LP (columns.go, dive.go), which also bound the cost. The other
// bounds are the volume and the prefixes (bound_*.go); bounds.go keeps what is
// proved.
//
// # What each search is worth
//
// Measured by switching one search off at a time over 207 problems of 4 to 60
// orders, with a million steps each: the 14 published ones and one alike, 24 each of
// whole lanes, of stations, of mixed widths and of round demands, all with a cost of
// set-ups, 32 of a number of runs without one, 24 with rules (overs, few orders in a
// run, long runs) and 40 groups of a night. Where "every second" stands, it was over
// half of them. Means hide much, since three searches of four are not called by most
// problems; and the walk is random, so that any change moves single plans by 1 %
// either way, a mean over all of them by 0.02 %. Without
//
//   - the first plan of blocks, 26 problems end without any, 11 of them with rules,
//     and the others cost 2.6 % more;
//   - bisection of one run, no search settles one run; the first plan's lengths
//     rest on it;
//   - boxes, 13 proofs of all are lost; 53 plans cost more, up to 6.0 %, and 21 less;
//   - narrowing, in 12 problems of 9 to 13 orders on 8 lanes in up to four runs, with
//     10 million steps each, 7 proofs are lost and 6 plans cost more; elsewhere it
//     shows in one proof only;
//   - placing lane by lane, bounds of mixed widths fall by 0.7 %, up to 3.7 %, 4
//     proofs are lost, and plans under rules cost 1.6 % more, up to 7.7 %;
//   - sweeps, 32 plans cost more, up to 5.4 %, and 3 less, and 4 proofs are lost;
//   - their mending, stations cost 0.3 % more, up to 2.4 %;
//   - their table, 3 plans cost more and one less, and bounds fall by up to 0.8 %:
//     little, but it is the table of the boxes;
//   - cells, every second: bounds of stations fall by 0.05 %, of numbers of
//     runs without a cost by 0.2 %, up to 2.8 %. Under 16 lanes in a run they proved
//     nothing more and are not asked;
//   - relying on sweeps alone at no cost of set-ups, every second: the bounds of long
//     runs on stations fall by up to 0.3 %; 4 plans of 16 cost up to 0.1 % less;
//   - the walk, every second: 27 plans cost more, up to 7.6 %, and 12 less; those
//     under rules, which annealing doesn't know, cost 2.1 % more on average;
//   - annealing, 53 plans cost more, up to 4.3 %, and 9 less: 0.2 % on average over
//     all, 0.4 % of whole lanes, 0.6 % of mixed widths, 0.1 % of groups of a night,
//     and still 0.1 % over all with 4 million steps each. It takes steps from the
//     proofs: one is lost by it, and single bounds fall by up to 1.9 %. Cover
//     printing of 30 came to 1,752,520 at best in six attempts without it, to
//     1,745,800 with it;
//   - the covering LP and its dives, every second: mixed widths cost 0.4 % more, up
//     to 2.4 %, and their bounds fall by up to 0.8 %, with one proof lost;
//   - its whole lengths, every second: one plan costs 0.8 % more.
//
// Gone, since nothing came of them:
//
//   - coarse grids of lengths for whole plans, the demands' common divisor among
//     them: of every second problem no plan costs more or less without, and all
//     published values are proved;
//   - coarse grids in the walk, and its first fit of boxes: without both, 30 plans
//     cost more and 38 less, 0.005 % on average;
//   - planning order by order, which only a greatest run length called for.
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
