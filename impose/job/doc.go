// Package job reads the files that people write for quoin: jobs, presses, die
// libraries and orders, as YAML, and dies and orders as CSV too.
//
// Every value keeps its line and column. A file is read to its end: all of its
// faults come back at once, as one *FileError that can quote each faulty line.
// What a reader accepts, the JSON Schemas (draft 2020-12) in the folder schema accept
// too: job, press, dies and orders, each as NAME.schema.json, and common.schema.json,
// which they refer to. A schema can't compare lengths, so that the readers refuse more.
//
// The package opens no artwork and lays out nothing.
package job
