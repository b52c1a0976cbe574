//go:build !unix

package vary_test

import "testing"

// cpu and peakMiB are not known here: benchmarks that need them are left out.
func cpu(t testing.TB) float64 {
	t.Skip("the system's figures are read on Unix only")
	return 0
}

func peakMiB(t testing.TB) float64 { return cpu(t) }
