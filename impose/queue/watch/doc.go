// Package watch picks files up from folders when they are whole, and answers each
// once.
package watch
