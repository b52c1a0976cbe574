//go:build unix

package plan

import (
	"strconv"
	"syscall"
	"testing"
	"time"

	"quoin/impose/night/nighttest"
)

// BenchmarkMoney plans nights of 1,000 and 5,000 orders on three webs, twenty dies
// and two presses, and 20,000 of them. It prints the gap to the bound, what the
// plan by web costs beside it, processor seconds and the most memory.
func BenchmarkMoney(b *testing.B) {
	for _, n := range []int{200, 1000, 5000, 20000} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			all := nighttest.MoneyOrders(b, n)
			for b.Loop() {
				r := nighttest.MoneyRules(b)
				r.House.Dies = nighttest.Dies(b)
				r.Time = time.Duration(min(n, 1000)) * 8 * time.Millisecond
				before := processor()
				p := made(b, all, r)
				b.ReportMetric(100*(float64(runsOnly(p))/float64(p.joint.Bound)-1), "gap-of-runs-%")
				b.ReportMetric(processor()-before, "cpu-s")
				b.ReportMetric(p.GapPercent, "gap-%")
				b.ReportMetric(float64(*p.Total.Money), "cents")
				b.ReportMetric(float64(len(p.Runs)), "runs")
				b.ReportMetric(float64(len(p.Unplanned)), "left-out")
				b.ReportMetric(float64(len(p.Groups)), "groups")
				var use syscall.Rusage
				if syscall.Getrusage(syscall.RUSAGE_SELF, &use) == nil {
					b.ReportMetric(float64(use.Maxrss)/1024, "MB")
				}
				b.ReportMetric(100*float64(*p.Total.Money)/float64(today(b, all, r)), "%-of-today")
			}
			b.ReportMetric(0, "ns/op")
		})
	}
}

func runsOnly(p *Plan) (sum int64) {
	for _, g := range p.groups {
		sum += g.plan.Cost
	}
	return sum
}

func processor() float64 {
	var use syscall.Rusage
	syscall.Getrusage(syscall.RUSAGE_SELF, &use)
	return float64(use.Utime.Nano()+use.Stime.Nano()) / 1e9
}
