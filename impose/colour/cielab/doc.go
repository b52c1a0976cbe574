// Package cielab is the arithmetic of measured colour: spectra to tristimulus
// values, these to CIELAB, colour differences, tone values and grey balance.
// Pure functions; everything is for illuminant D50 and the 2 degree observer.
package cielab
