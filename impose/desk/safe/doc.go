// Package safe keeps the desk to the person who started it: one secret in the
// address that is opened first, then a cookie; hosts and origins that are the
// desk's own; headers that let a page load and send nothing else.
package safe
