//go:build !linux

package work

// resident is not asked here: the process's own GOMEMLIMIT holds alone.
func resident(int) int64 { return 0 }
