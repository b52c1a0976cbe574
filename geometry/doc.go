// Package geometry works out where labels land on the web and what the run
// takes: exact lengths, the web, gears and cylinders, lanes and rows, layouts,
// dies and which of them serves a job best, windings, rolls, yields and run
// lengths.
//
// It is pure: no files, no clock, nothing but the standard library. All lengths
// are whole nanometres, areas are float64 square millimetres.
//
// Around the web is a ring (n labels have n gaps), across it is a line (n labels
// have n-1 gaps); LanesIn and RowsIn keep the two apart. What does not fit is
// answered with reasons: what, by how much, and the nearest that does.
//
// Out of scope: shapes other than boxes (package outline), and which orders
// share a frame (package gang).
package geometry
