// Package plan plans a job for the desk: again at each change, from artworks that
// stay open, and says what a page shows of it: values with their units, numbers,
// what stands in the way with what would do instead, and the frame as a picture.
package plan
