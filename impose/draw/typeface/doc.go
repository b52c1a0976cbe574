// Package typeface sets text in fonts that customers bring: TrueType and
// OpenType files, shaped as their scripts ask for, from right to left where they
// run so, broken into lines where a box has several.
//
// Shaping, the order of mixed directions and the places where lines may break
// come from github.com/go-text/typesetting, a port of HarfBuzz with the
// algorithms of UAX 9 and UAX 14.
package typeface
