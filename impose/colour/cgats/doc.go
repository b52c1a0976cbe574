// Package cgats reads and writes tables in the exchange form of ISO 28178
// (ANSI CGATS.17): keywords with values, a list of fields, and rows. It is
// lenient about what differs from writer to writer (line ends, tabs or spaces,
// decimal commas, field lists over several lines, a missing count) and refuses
// what could be a file that was cut off or shifted, with line and field.
package cgats
