//go:build unix

package geometry

import (
	"syscall"
	"testing"
	"time"
)

// Ranking a die room of 10,000, on one core: once with all sizes that a room
// has, once with the label's size only, where each die is judged in full.
func BenchmarkRankDies(b *testing.B) {
	dies := library(10_000)
	b.Run("all sizes", func(b *testing.B) { benchmarkRanking(b, dies) })
	same := library(10_000)
	for i := range same {
		same[i].Size, same[i].Lanes, same[i].Rows = mustSize(b, "50x75mm"), 1+i%7, 1+i%4
		if same[i].Station == FullRotary {
			same[i].Cylinder.Teeth = eighth.TeethFor(Length(same[i].Rows) * mustLength(b, "78mm"))
		}
	}
	b.Run("one size", func(b *testing.B) { benchmarkRanking(b, same) })
}

func benchmarkRanking(b *testing.B, dies []Die) {
	w := wish(b)
	w.Radius, w.Material = 2*Millimetre, "paper"
	w.Stations = []DieStation{{Kind: FullRotary, Width: 330 * Millimetre}, {Kind: SemiRotary, Width: 330 * Millimetre, Stroke: 400 * Millimetre}}
	fitting, before := 0, processorTime(b)
	for b.Loop() {
		fits, err := RankDies(dies, w)
		if err != nil {
			b.Fatal(err)
		}
		fitting = 0
		for _, f := range fits {
			if f.Fits {
				fitting++
			}
		}
	}
	perRoom := (processorTime(b) - before).Seconds() / float64(b.N)
	b.ReportMetric(perRoom*1e3, "cpu-ms/room")
	b.ReportMetric(0.050/perRoom, "x-faster-than-50ms")
	b.ReportMetric(float64(fitting), "fits")
}

// processorTime gives what the process has used so far: on a machine that others
// share, the clock on the wall says little.
func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
