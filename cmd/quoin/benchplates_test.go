package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// BenchmarkRatioPlates prints what looking at plates costs: memory in MiB, and
// processor time as a multiple of that of the same work without.
func BenchmarkRatioPlates(b *testing.B) {
	dir := b.TempDir()
	quoin := filepath.Join(dir, "quoin")
	if out, err := exec.Command("go", "build", "-o", quoin, ".").CombinedOutput(); err != nil {
		b.Fatalf("go build: %v\n%s", err, out)
	}
	b.Setenv("XDG_CACHE_HOME", filepath.Join(dir, "cache")) // no plate is known from before
	samples, err := filepath.Abs("../../samples")
	if err != nil {
		b.Fatal(err)
	}
	run := func(b *testing.B, args ...string) (cpu time.Duration, mib float64) {
		b.Helper()
		cmd := exec.Command(quoin, args...)
		cmd.Dir = samples
		if out, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("%v: %v\n%s", args, err, out)
		}
		return cmd.ProcessState.UserTime(), float64(peakKiB(b, cmd.ProcessState)) / 1024
	}
	juice := filepath.Join(samples, "artwork", "orchard-juice.pdf")
	run(b, "inspect", juice, "--coverage") // compiles the renderer
	frame := filepath.Join(dir, "frame.pdf")
	run(b, "impose", "job.yaml", "-o", frame)
	for name, of := range map[string]string{"artwork": juice, "frame": frame} {
		b.Run("coverage of the "+name, func(b *testing.B) {
			var most float64
			for b.Loop() {
				if err := os.RemoveAll(filepath.Join(dir, "cache", "quoin", "plates")); err != nil {
					b.Fatal(err)
				}
				_, mib := run(b, "inspect", of, "--coverage")
				most = max(most, mib)
			}
			b.ReportMetric(most, "peak-MiB")
			b.ReportMetric(0, "ns/op")
		})
	}
	b.Run("night", func(b *testing.B) {
		night := func(more ...string) time.Duration {
			place := filepath.Join(b.TempDir(), "night")
			os.RemoveAll(place)
			cpu, _ := run(b, append([]string{"gang", "orders.csv", "--job", "night-job.yaml", "--dies", "night-dies.csv", "--out", place}, more...)...)
			return cpu
		}
		var without, with time.Duration
		for b.Loop() {
			without += night()
			with += night("--pixels")
		}
		b.ReportMetric(float64(with-without)/float64(without), "x-build")
		b.ReportMetric(0, "ns/op")
	})
}
