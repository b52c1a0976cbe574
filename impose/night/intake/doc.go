// Package intake reads a night's orders: which are for this night, what their
// artworks bring, how their labels lie on the web. What it takes, the planner
// can plan; the rest comes back with its reasons.
package intake
