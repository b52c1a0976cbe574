//go:build unix

package plan

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"syscall"
	"testing"
	"time"

	"quoin/impose/desk/edit"
	"quoin/impose/desk/folder"
)

// cpu is the processor time that the process has taken.
func cpu() time.Duration {
	var u syscall.Rusage
	syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkRatioChange changes one value and draws the frame, for 240 and for
// 2,000 stations, in processor time at the 95th percentile: what a change may
// take is 100 ms and 250 ms, the browser's part included.
func BenchmarkRatioChange(b *testing.B) {
	for _, c := range []struct {
		stations int
		label    string
		most     time.Duration
	}{{240, "20x47mm", 100 * time.Millisecond}, {2000, "8x13mm", 250 * time.Millisecond}} {
		b.Run(fmt.Sprint(c.stations, " stations"), func(b *testing.B) {
			f := opened(b)
			text := []byte("press: press.yaml\nweb: 340mm\nlabel: " + c.label + "\ngap: 2x2mm\nbleed: 0.5mm\nframe-max: 980mm\nmarks: {slit: false}\nartworks: [{file: small.pdf, quantity: 100000}]\n")
			plainLabel(b, f, c.label)
			bench := NewBench(f, "many.yaml", compares(b))
			defer bench.Close()
			r, err := bench.Plan(context.Background(), text)
			if err != nil || !r.Planned() {
				b.Fatal(err, r.Faults)
			}
			var all []time.Duration
			i := 0
			for b.Loop() {
				i++
				runtime.GC()
				before := cpu()
				next, err := edit.Apply(text, Order, edit.Edit{Key: "gap", Value: fmt.Sprintf("2x%g%smm", 2+float64(i%7)/100, "")})
				if err != nil {
					b.Fatal(err)
				}
				if r, err = bench.Plan(context.Background(), next); err != nil || !r.Planned() {
					b.Fatal(err, r.Faults)
				}
				all = append(all, cpu()-before)
			}
			slices.Sort(all)
			p95 := all[len(all)*95/100]
			b.ReportMetric(float64(len(r.Frame.Stations)), "stations")
			b.ReportMetric(float64(len(r.Frame.SVG))/1024, "kB-svg")
			b.ReportMetric(float64(p95)/1e6, "ms-cpu-p95")
			b.ReportMetric(float64(p95)/float64(c.most), "of-the-limit")
		})
	}
}

// BenchmarkRatioFolder lists a folder of 1,000 jobs for the first time.
func BenchmarkRatioFolder(b *testing.B) {
	f := opened(b)
	job, err := os.ReadFile(filepath.Join(f.Path, "job.yaml"))
	if err != nil {
		b.Fatal(err)
	}
	for i := range 1000 {
		if err := os.WriteFile(filepath.Join(f.Path, fmt.Sprintf("job-%04d.yaml", i)), job, 0o666); err != nil {
			b.Fatal(err)
		}
	}
	var total time.Duration
	for b.Loop() {
		fresh, err := folder.Open(f.Path)
		if err != nil {
			b.Fatal(err)
		}
		before := cpu()
		list, err := fresh.Of(folder.Job)
		if err != nil || len(list) < 1000 {
			b.Fatal(err, len(list))
		}
		total += cpu() - before
		fresh.Close()
	}
	each := total / time.Duration(b.N)
	b.ReportMetric(float64(each)/1e6, "ms-cpu")
	b.ReportMetric(each.Seconds(), "of-the-limit")
}
