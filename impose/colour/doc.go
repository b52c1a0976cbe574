// Package colour closes the loop from the targets in the margin to a verdict:
// it says where a run's patches stand and what they should be, reads what an
// instrument measured, and tells whether the run is in tolerance, which ink
// drifts and which way.
//
// It reads a run from the JSON of its summary, as verify does, so that a run
// can be judged long after its job was planned.
package colour
