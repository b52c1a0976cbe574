// Package geometry works out where labels land on the web: exact lengths, the
// web, gears and cylinders, lanes and rows, layouts, yields and run lengths.
//
// It is pure: no files, no clock, nothing but the standard library. Around the
// web is a ring (n labels have n gaps), across it is a line (n labels have n-1
// gaps); LanesIn and RowsIn keep the two apart.
package geometry
