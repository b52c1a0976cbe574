//go:build unix

package nest

import (
	"fmt"
	"syscall"
	"testing"
	"time"

	"quoin/geometry"
)

// BenchmarkIntricate tells how many times faster than a second of one processor
// each outline is laid: on a machine that others share, the clock on the wall
// says little.
func BenchmarkIntricate(b *testing.B) {
	for _, s := range traced(b) {
		for _, gap := range []geometry.Length{0, mm, 3 * mm} {
			b.Run(fmt.Sprintf("%s/%s", s.name, gap), func(b *testing.B) {
				var r *Result
				before := processorTime(b)
				for b.Loop() {
					r = plan(b, Request{Web: geometry.Web{Width: 330 * mm}, Shape: s.o, Gap: both(gap), Repeat: geometry.Repeat{Max: 980 * mm},
						Turns: []geometry.Turn{0, 2}})
				}
				each := (processorTime(b) - before).Seconds() / float64(b.N)
				b.ReportMetric(each, "cpu-s")
				b.ReportMetric(1/each, "x-faster-than-1s")
				b.ReportMetric(r.Best().PerMetre()/r.Of(Straight).PerMetre(), "labels/straight")
			})
		}
	}
}

func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
