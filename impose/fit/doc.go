// Package fit answers which die, web and turn serve an order best, and why the
// others don't: one report for the text and for the JSON.
//
// Out of scope: the judging itself, which is geometry's, and shaped layouts,
// which are package nest's.
package fit
