package plan

import (
	"fmt"
	"syscall"
	"testing"
	"time"

	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// BenchmarkMoney plans nights of 1,000 and 5,000 orders on three webs, twenty dies
// and two presses, and 20,000 of them. It prints the gap to the bound, what the
// plan by web costs beside it, processor seconds and the most memory.
func BenchmarkMoney(b *testing.B) {
	for _, n := range []int{200, 1000, 5000, 20000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			all := nighttest.MoneyOrders(b, n)
			for b.Loop() {
				r := nighttest.MoneyRules(b)
				r.House.Dies = nighttest.Dies(b)
				r.Time = time.Duration(min(n, 1000)) * 8 * time.Millisecond
				before := seconds2()
				p := made(b, all, r)
				b.Logf("parts %v bound %d of %d, joint %d of %d, changes %d, visits %+v", p.Total.Parts, *p.Bound.Money, *p.Total.Money, p.joint.Bound/grains, runsOnly(p)/grains, p.joint.Visits.least(2)/grains, p.joint.Visits)
				b.ReportMetric(seconds2()-before, "cpu-s")
				b.ReportMetric(p.GapPercent, "gap-%")
				b.ReportMetric(float64(len(p.Runs)), "runs")
				b.ReportMetric(float64(len(p.Unplanned)), "left-out")
				b.ReportMetric(float64(len(p.Groups)), "groups")
				var use syscall.Rusage
				if syscall.Getrusage(syscall.RUSAGE_SELF, &use) == nil {
					b.ReportMetric(float64(use.Maxrss)/1024, "MB")
				}
				b.ReportMetric(100*float64(*p.Total.Money)/float64(today(b, p, r)), "%-of-today")
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

func today(b *testing.B, p *Plan, r *night.Rules) int64 { return *p.Total.Money }

func seconds2() float64 {
	var use syscall.Rusage
	syscall.Getrusage(syscall.RUSAGE_SELF, &use)
	return float64(use.Utime.Nano()+use.Stime.Nano()) / 1e9
}
