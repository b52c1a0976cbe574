// Package report says what there is to say of a planned night: as text, as a
// page that needs nothing else, and as JSON.
package report
