// Package profile evaluates ICC output profiles in the one direction that
// aims need: from amounts of ink to the colour that they print, absolute
// colorimetric (ICC.1:2022 and ICC.1:2001-04). It also looks for the build of
// the process inks that comes nearest to a colour.
//
// No library in Go that is kept up does this for profiles of four and more
// inks; it is little code, and transicc and xicclu are held against it.
package profile
