// Package report shows a colour report to people: a page for the operator and
// one for the customer, each one file that works offline, and the operator's as
// a PDF.
package report
