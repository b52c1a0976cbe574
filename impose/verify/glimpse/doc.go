// Package glimpse draws small places of a PDF's pages without a renderer: it reads
// the page with pdfcpu, which shares no code with our writer, and paints in order
// whatever touches a place, artworks, symbols and what covers them. What it doesn't
// know (shadings, patterns, transparency, masks, fonts of outlines, strokes ...)
// it paints as unknown, and a place that shows any of it says so: that is for a full
// renderer. It takes a few megabytes, however large the file is.
package glimpse
