// Package nest lays shaped labels closer than a straight grid can: in staggered
// rows, with every second row turned by 180 degrees, and with outlines that
// reach into each other's hollows.
//
// All patterns are regular: two rows, alike or one turned, repeat around the
// frame. The search walks over the pitch across and the stagger of the second
// row; for each, the least pitch around follows from where the two shapes would
// touch. It works on flattened outlines; what it finds is then settled to the
// nanometre on the true ones, and every neighbour of the finished frame is
// measured once more, across the seam too.
//
// Out of scope: labels turned by other angles than the request allows, patterns
// of more than two rows, and labels of different shapes on one frame.
package nest
