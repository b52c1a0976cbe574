// Package tone turns what an instrument reads on colour targets into tone
// values, so that a printed tint can be compared with the tint in the file.
// Pure arithmetic: densities, CIE XYZ and CIELAB values in, percentages out.
package tone
