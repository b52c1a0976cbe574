// Package register keeps what became of every label of variable data, over runs
// and reprints: which codes were issued, which parts were printed, which labels
// are void and which were printed again. Nothing in it is ever taken back or
// written over; what happens later is added.
//
// It stands on bbolt, a single file with transactions that reach the disk whole
// or not at all. SQLite without cgo would answer more questions, and weigh 16
// times as much in the program; all that is asked here is a sorted map. What can
// be worked out is not stored: where a record stands follows from the run's
// order, so a label takes 16 bytes for its code and its share of a compressed block
// of values.
package register
