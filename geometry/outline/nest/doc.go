// Package nest lays shaped labels closer than a straight grid can: in staggered
// rows and rows that slant, with outlines that reach into each other's hollows,
// and with every second label turned by 180 degrees.
//
// All patterns are regular: one label, or two, at all whole moves along a row,
// which may slant, and along the web, so that every pattern closes around the
// frame. Three and four rows that begin at a third or a quarter of the pitch are
// slanting rows seen otherwise. The search walks over pitch, slant and the second
// label's place across; for each, the least period around follows from where the
// shapes would touch. It works on flattened outlines; what it finds is then
// settled to the nanometre on the true ones, and every neighbour of the finished
// frame is measured once more, across the seam too.
//
// Out of scope: labels turned by other angles than the request allows, patterns
// of three and more labels that are no such moves of one another, labels in
// another's window, and labels of different shapes on one frame.
package nest
