// Package outline holds the shapes of labels that are not plain rectangles:
// closed contours of lines, arcs and cubic curves in whole nanometres, with
// their area, bounds, offsets and true distances.
//
// Coordinates are those of geometry: Across grows to the right and Around
// downwards, against the web's travel, as the printed face is seen. An angle or
// a bulge is positive when it turns from Across towards Around, which is
// clockwise as seen. The two axes then make an ordinary right-handed plane, and
// nothing in this package has to flip one.
//
// Out of scope: open lines (perforations, scores), strokes, and files; package
// contour reads and writes outlines.
package outline
