// Package trials says how many trials a test makes. Only tests may import it.
//
// There are three passes. The ordinary one is what everybody runs before a
// change: each kind of trial, as many of each as find a fault soon. The long
// one, QUOIN_LONG=1, makes all of them. -short leaves out what needs another
// program or more than a moment.
package trials

import (
	"flag"
	"os"
	"strconv"
	"testing"
)

// Long reports whether this is the long pass.
func Long() bool { return os.Getenv("QUOIN_LONG") != "" }

// Number gives the number of trials: few, or many in the long pass. The
// variable of the environment that is named says another number.
func Number(t testing.TB, variable string, few, many int) int {
	t.Helper()
	if text := os.Getenv(variable); variable != "" && text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			t.Fatalf("%s=%s is no number of trials", variable, text)
		}
		return n
	}
	if Long() {
		return many
	}
	return few
}

// Each gives every n-th of a list, beginning with the first, and all of it in the
// long pass.
func Each[T any](n int, list []T) []T {
	if Long() {
		return list
	}
	var some []T
	for i := 0; i < len(list); i += n {
		some = append(some, list[i])
	}
	return some
}

// SideBySide lets so many tests that call t.Parallel go at a time, for packages whose
// tests wait rather than work. A number that is given as -parallel holds. TestMain
// calls it.
func SideBySide(n int) {
	flag.Parse()
	const parallel = "test.parallel"
	given := false
	flag.Visit(func(f *flag.Flag) { given = given || f.Name == parallel })
	if !given {
		flag.Lookup(parallel).Value.Set(strconv.Itoa(n))
	}
}
