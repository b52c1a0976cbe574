package vary_test

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"

	"quoin/impose/vary"
)

// perSecond is what the press prints: frames of 960 mm with 72 labels at 2 m a
// second.
const perSecond = 150

// BenchmarkLabels writes 100,000 labels to a file and prints how fast that is
// as a multiple of the press, and the bytes that a label takes.
func BenchmarkLabels(b *testing.B) {
	for _, c := range []struct {
		name   string
		fields []vary.Field
	}{
		{"text", []vary.Field{textField()}},
		{"text-and-qr", []vary.Field{textField(), qrField()}},
	} {
		b.Run(c.name, func(b *testing.B) {
			const count = 100_000
			p := plan(b, count, c.fields...)
			p.Layout = layout(b, 0, 9)
			path := filepath.Join(b.TempDir(), "run.pdf")
			for b.Loop() {
				r := prepare(b, p)
				f, err := os.Create(path)
				if err != nil {
					b.Fatal(err)
				}
				if err := r.WriteFrames(context.Background(), f, io.Discard, 0, r.Order.Frames(), nil); err != nil {
					b.Fatal(err)
				}
				if err := f.Close(); err != nil {
					b.Fatal(err)
				}
			}
			info, err := os.Stat(path)
			if err != nil {
				b.Fatal(err)
			}
			labels := float64(b.N) * count / b.Elapsed().Seconds()
			b.ReportMetric(labels/perSecond, "x-press")
			b.ReportMetric(labels, "labels/s")
			b.ReportMetric(float64(info.Size())/count, "bytes/label")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// BenchmarkMillion writes a million labels and prints the peak memory of the
// whole process.
func BenchmarkMillion(b *testing.B) {
	for b.Loop() {
		p := plan(b, 1_000_000, textField(), qrField())
		p.Layout = layout(b, 0, 9)
		r := prepare(b, p)
		if err := r.WriteFrames(context.Background(), io.Discard, io.Discard, 0, r.Order.Frames(), nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(peakMiB(b), "peak-MiB")
	b.ReportMetric(float64(b.N)*1e6/b.Elapsed().Seconds()/perSecond, "x-press")
}
