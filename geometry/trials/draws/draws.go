// Package draws lets a property's test make few draws in the ordinary pass. It is apart
// from [quoin/geometry/trials] because the library that draws takes some milliseconds at
// each start of a program. Only tests import it.
package draws

import (
	"flag"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry/trials"
)

// Check is rapid.Check with fewer draws than its hundred, which the long pass
// makes. A number that is given as -rapid.checks holds in both.
func Check(t *testing.T, few int, property func(*rapid.T)) {
	t.Helper()
	const checks = "rapid.checks"
	given := trials.Long()
	flag.Visit(func(f *flag.Flag) { given = given || f.Name == checks })
	if !given {
		usual := flag.Lookup(checks).Value
		was := usual.String()
		usual.Set(strconv.Itoa(few)) // the value's own Set: the flag doesn't count as given
		defer usual.Set(was)
	}
	rapid.Check(t, property)
}
