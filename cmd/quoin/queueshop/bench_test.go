package queueshop

import (
	"fmt"
	"os"
	"os/exec"
	"testing"
	"time"

	"quoin/geometry/trials"
)

// BenchmarkRatioQueue builds a night here and by way of queues, and prints the CPU
// time of one embedded worker as a multiple of the local night's, and what two
// workers of one core each do in the time of one.
func BenchmarkRatioQueue(b *testing.B) {
	dir := b.TempDir()
	bin := program
	runs := trials.Number(b, "QUOIN_BENCH_RUNS", 60, 60)
	command := queueNight(b, dir, runs)
	n := 0
	timed := func(cores int, args ...string) (wall, cpu time.Duration) {
		n++
		cmd := exec.Command(bin, append(append([]string{}, command...), append([]string{fmt.Sprint("night", n)}, args...)...)...)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), fmt.Sprint("GOMAXPROCS=", cores))
		start := time.Now()
		if out, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
		return time.Since(start), cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	}
	var local, inside, localCPU, insideCPU, one, two time.Duration
	for b.Loop() {
		w, c := timed(2)
		local, localCPU = local+w, localCPU+c
		w, c = timed(2, "--queue", fmt.Sprintf("./store%d", n))
		inside, insideCPU = inside+w, insideCPU+c
		for _, workers := range []int{1, 2} {
			s := openShop(b, 1, workers)
			w, _ := timed(1, "--queue", s.url)
			if workers == 1 {
				one += w
			} else {
				two += w
			}
			for i := range workers {
				s.kill(s.workers, i)
			}
			s.kill(s.brokers, 0)
		}
	}
	b.ReportMetric(float64(inside)/float64(local), "x-local")
	b.ReportMetric(float64(insideCPU)/float64(localCPU), "x-local-cpu")
	b.ReportMetric(float64(one)/float64(two), "x-two-workers")
	b.ReportMetric(0, "ns/op")
}
