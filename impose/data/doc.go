// Package data gives the records of variable data: the rows of a CSV file,
// counters, and text put together from both. It knows no labels.
//
// A file is read through once before anything is printed, which counts its
// rows, finds every fault that a row can have, and notes where each stretch of
// rows begins; then any number of readers start anywhere. Memory doesn't grow
// with the rows.
package data
