package verify_test

import (
	"context"
	"crypto/sha256"
	"io"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"quoin/impose/job"
	"quoin/impose/verify"
	"quoin/impose/witness"
)

// heavy writes a label with one image of so many megabytes that don't compress.
func heavy(t testing.TB, megabytes int) string {
	noise := rand.New(rand.NewPCG(1, 2))
	pixels := make([]byte, megabytes<<20)
	for i := 0; i < len(pixels); i += 8 {
		v := noise.Uint64()
		for k := range 8 {
			pixels[i+k] = byte(v >> (8 * k))
		}
	}
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 150 100] /TrimBox [5 5 145 95] /Resources << /XObject << /I 5 0 R >> >> >>",
		witness.Stream("", "q 140 0 0 90 5 5 cm /I Do Q"),
		witness.Stream("/Subtype /Image /Width 1024 /Height 1024 /BitsPerComponent 8 /ColorSpace /DeviceGray", string(pixels)),
	)
}

// hashed reads a file once, as sha256sum does.
func hashed(b *testing.B, path string) time.Duration {
	begun := time.Now()
	f, err := os.Open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	if _, err := io.Copy(sha256.New(), f); err != nil {
		b.Fatal(err)
	}
	return time.Since(begun)
}

// BenchmarkReadersRatio tells what the second reader costs, on the sample job
// and on an artwork of 32 MB: the time of a verification in times that of
// hashing the file once, and the bytes that it allocates.
func BenchmarkReadersRatio(b *testing.B) {
	sample, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range []struct {
		name string
		job  *job.Job
	}{{"sample", sample}, {"32MB", frame(heavy(b, 32))}} {
		pdf, summary := written(b, c.job)
		plan, err := verify.ReadExpected(summary)
		if err != nil {
			b.Fatal(err)
		}
		for _, alone := range []bool{true, false} {
			b.Run(c.name+map[bool]string{true: "/alone", false: "/both"}[alone], func(b *testing.B) {
				b.ReportAllocs()
				var hash, check time.Duration
				for b.Loop() {
					hash += hashed(b, pdf)
					begun := time.Now()
					r, err := verify.File(context.Background(), pdf, plan, verify.Options{Summary: summary, Alone: alone})
					check += time.Since(begun)
					if err != nil || !r.Same {
						b.Fatal(r, err)
					}
				}
				b.ReportMetric(float64(check)/float64(hash), "x-hash")
			})
		}
	}
}
