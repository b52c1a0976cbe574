// Package ticket hands a job on to the next department: a list of the lanes as
// CSV, which every spreadsheet reads, and a finishing ticket as JSON, whose
// schema is published with it.
package ticket
