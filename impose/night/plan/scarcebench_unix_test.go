//go:build unix

package plan

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// scarce returns the rules of a night of orders for nighttest's dies with less in stock
// of the webs of which a plan takes most, so many of them: a part of what that takes.
func scarce(t testing.TB, free *Plan, webs int, part float64) *night.Rules {
	t.Helper()
	r := nighttest.MoneyRules(t)
	r.House.Dies, r.Time = nighttest.Dies(t), free.rules.Time
	type lot struct {
		press, material string
		web             float64
	}
	used := map[lot]float64{}
	for _, run := range free.Runs {
		used[lot{run.Press, free.Groups[run.Group-1].Material, run.WebMM}] += run.WebGrossM
	}
	most := slices.SortedFunc(maps.Keys(used), func(a, b lot) int {
		return cmp.Or(cmp.Compare(used[b], used[a]), cmp.Compare(fmt.Sprint(a), fmt.Sprint(b)))
	})
	most = most[:min(webs, len(most))]
	for _, press := range presses(r) {
		for _, material := range []string{"paper", "film", "foil"} {
			for _, w := range press.Webs {
				l := lot{press.Name, material, w.MM()}
				in := job.Lot{Material: material, Width: w}
				if slices.Contains(most, l) {
					in.Length = geometry.FromMM(1000 * math.Floor(part*used[l]))
				}
				press.Lots = append(press.Lots, in)
			}
		}
	}
	return r
}

// BenchmarkScarce plans nights of which one to three webs have but six tenths of the
// metres in stock that a plan takes of unlimited stock, and prints beside the gap what
// they cost more than that.
func BenchmarkScarce(b *testing.B) {
	for _, n := range []int{30, 60, 100, 200, 400, 1000} {
		all := nighttest.MoneyOrders(b, n)
		r := nighttest.MoneyRules(b)
		r.House.Dies, r.Time = nighttest.Dies(b), time.Duration(n)*8*time.Millisecond
		before := processor()
		free := made(b, all, r)
		unlimited := processor() - before
		for webs := 1; webs <= 3; webs++ {
			b.Run(fmt.Sprintf("%d/%d", n, webs), func(b *testing.B) {
				for b.Loop() {
					r := scarce(b, free, webs, 0.6)
					before := processor()
					p := made(b, all, r)
					b.ReportMetric(processor()-before, "cpu-s")
					b.ReportMetric(unlimited, "cpu-s-unlimited")
					b.ReportMetric(p.GapPercent, "gap-%")
					b.ReportMetric(float64(*p.Total.Money), "cents")
					b.ReportMetric(float64(len(p.Unplanned)), "left-out")
					b.ReportMetric(100*float64(*p.Total.Money)/float64(*free.Total.Money)-100, "%-above-unlimited")
				}
				b.ReportMetric(0, "ns/op")
			})
		}
	}
}
