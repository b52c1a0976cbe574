// Package vary prints a different label at every station: serial numbers,
// names, codes. It gives each station its record, sets the record's text and
// symbols, and streams the frames into PDF files, a part after another.
//
// All that could be wrong with any record is looked for before the first frame
// is written. Memory doesn't grow with the records, and a run that was killed
// goes on behind its last whole part, to the same bytes.
package vary
