// Package press writes frames as the PDF that the RIP takes untouched.
//
// Each distinct artwork page becomes one Form XObject, painted once for every
// station; its content, resources and images are copied, never changed. All
// that crosses from the house's positions (nanometres, around growing down the
// page) to PDF's points (y growing up) crosses in space.go, and nowhere else.
package press
