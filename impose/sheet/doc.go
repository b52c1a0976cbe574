// Package sheet draws the job sheet: one or two pages of PDF for the wall of
// the pressroom, in black and white, that say what is printed where, how it is
// wound and what to look out for.
package sheet
