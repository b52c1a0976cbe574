// Package schedule finds the order in which a press prints its runs.
//
// What passes between two runs depends on both: another material, another die,
// other inks. That is the single machine with sequence-dependent set-ups and due
// dates, 1|s_ij|sum w_j U_j, then sum w_j T_j, of R. L. Graham, E. L. Lawler, J. K. Lenstra and
// A. H. G. Rinnooy Kan, "Optimization and approximation in deterministic
// sequencing and scheduling: a survey", Annals of Discrete Mathematics 5, 1979;
// without due dates it is the travelling salesman's path with asymmetric
// distances. How much misses its due time comes first, by how much second, what
// changes cost third: a run may hold orders that are due at several times.
//
// Few runs are settled by dynamic programming over subsets (M. Held, R. M. Karp,
// "A dynamic programming approach to sequencing problems", Journal of the SIAM
// 10(1), 1962). For more, starts are improved by moving segments (I. Or, 1976), as
// they are or turned round, with kicks in between. Runs that need the same set-up are
// put in order as one where nothing is due, and else that order is one of the starts.
// Work is counted in steps: the same runs give the same order.
package schedule
