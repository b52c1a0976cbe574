package main

import (
	"bufio"
	"compress/zlib"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"quoin/impose/witness"
)

// BenchmarkRatio imposes artworks as a whole process, proof and all, and prints
// its processor time as a multiple of that of cp and of "qpdf in out" on the same
// file, that without the proof, and its peak memory. Ratios below 1 mean that quoin
// was quicker. Packed paths qpdf copies as they are, while quoin looks through
// them; so they are held against a qpdf that unpacks them as well (x-unpack), by
// wall time too, because quoin unpacks and looks through side by side.
func BenchmarkRatio(b *testing.B) {
	qpdf := witness.Need(b, "qpdf")
	dir := b.TempDir()
	quoin := filepath.Join(dir, "quoin")
	if out, err := exec.Command("go", "build", "-o", quoin, ".").CombinedOutput(); err != nil {
		b.Fatalf("go build: %v\n%s", err, out)
	}
	for _, one := range []struct {
		name  string
		bytes int
		write func(b *testing.B, path string, bytes int)
	}{{"30kB image", 30_000, heavyArtwork}, {"20MB image", 20_000_000, heavyArtwork}, {"200MB image", 200_000_000, heavyArtwork},
		{"24MB paths", 24_000_000, storedPaths}, {"24MB packed paths", 24_000_000, packedPaths}} {
		b.Run(one.name, func(b *testing.B) {
			in := filepath.Join(dir, "in.pdf")
			one.write(b, in, one.bytes)
			out := filepath.Join(dir, "out.pdf")
			impose := []string{"impose", in, "--web", "340mm", "--edge", "10mm", "--gap", "3x3.175mm",
				"--bleed", "1.5mm", "--frame-max", "980mm", "--quantity", "100000", "-o", out}
			var proved, unproved, copied, theirs, unpacked, wall, unpackedWall time.Duration
			var peak int64
			for b.Loop() {
				// In turn, so that a drift of the machine's speed meets all alike.
				start := time.Now()
				d, kib := timed(b, quoin, impose...)
				proved, peak = proved+d, max(peak, kib)
				wall += time.Since(start)
				d, _ = timed(b, quoin, append(impose, "--no-verify")...)
				unproved += d
				d, _ = timed(b, "cp", in, out+".cp")
				copied += d
				d, _ = timed(b, qpdf, in, out+".qpdf")
				theirs += d
				start = time.Now()
				d, _ = timed(b, qpdf, "--stream-data=uncompress", in, out+".qpdf")
				unpacked += d
				unpackedWall += time.Since(start)
			}
			b.ReportMetric(float64(proved)/float64(copied), "x-cp")
			b.ReportMetric(float64(proved)/float64(theirs), "x-qpdf")
			b.ReportMetric(float64(unproved)/float64(theirs), "unproved-x-qpdf")
			b.ReportMetric(float64(proved)/float64(unpacked), "x-unpack")
			b.ReportMetric(float64(unproved)/float64(unpacked), "unproved-x-unpack")
			b.ReportMetric(float64(wall)/float64(unpackedWall), "wall-x-unpack")
			b.ReportMetric(float64(peak)/1024, "peak-MiB")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// storedPaths writes a label whose content is so many bytes of short paths.
func storedPaths(b *testing.B, path string, bytes int) { pathArtwork(b, path, "", manyPaths(bytes)) }

// packedPaths is storedPaths with the content deflated.
func packedPaths(b *testing.B, path string, bytes int) {
	var packed strings.Builder
	w := zlib.NewWriter(&packed)
	io.WriteString(w, manyPaths(bytes))
	w.Close()
	pathArtwork(b, path, "/Filter /FlateDecode", packed.String())
}

// manyPaths is content as drawing programs write it: short shapes, and now and
// then a new colour.
func manyPaths(bytes int) string {
	random := rand.New(rand.NewPCG(1, 2))
	n := func() string { return strconv.FormatFloat(random.Float64()*100, 'f', 3, 64) }
	var c strings.Builder
	for c.Len() < bytes {
		fmt.Fprintf(&c, "q\n%s 0 0 %s %s %s cm\n0 .%d .9 0 k\n", n(), n(), n(), n(), random.IntN(9))
		for range 12 {
			fmt.Fprintf(&c, "%s %s m\n%s %s l\n%s %s %s %s %s %s c\nh\nf\n", n(), n(), n(), n(), n(), n(), n(), n(), n(), n())
		}
		c.WriteString("Q\n")
	}
	return c.String()
}

func pathArtwork(b *testing.B, path, keys, content string) {
	b.Helper()
	pdf := witness.Handwritten(b, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 150.236 221.102] /TrimBox [4.252 4.252 145.984 216.850] /Resources << >> /Contents 4 0 R >>", witness.Stream(keys, content))
	if err := os.Rename(pdf, path); err != nil {
		b.Fatal(err)
	}
}

// timed runs a program and gives its processor time and peak memory in KiB.
func timed(b *testing.B, name string, args ...string) (time.Duration, int64) {
	b.Helper()
	cmd := exec.Command(name, args...)
	if out, err := cmd.CombinedOutput(); err != nil {
		b.Fatalf("%s: %v\n%s", name, err, out)
	}
	return cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(), peakKiB(b, cmd.ProcessState)
}

// heavyArtwork writes a label of 50 x 75 mm with one CMYK image of about so
// many bytes of noise, deflated without getting smaller: what is compressed
// already qpdf copies as it is, so neither program has an advantage.
func heavyArtwork(b *testing.B, path string, bytes int) {
	b.Helper()
	f, err := os.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	w := bufio.NewWriterSize(f, 1<<20)
	offset := 0
	var starts []int
	put := func(format string, args ...any) { n, _ := fmt.Fprintf(w, format, args...); offset += n }
	begin := func() { starts = append(starts, offset) }

	side := 1
	for 4*(side+1)*(side+1) <= bytes {
		side++
	}
	const box = "[0 0 150.236 221.102]" // 53 x 78 mm
	const trim = "[4.252 4.252 145.984 216.850]"
	content := "q 150.236 0 0 221.102 0 0 cm /Im Do Q"
	put("%%PDF-1.6\n")
	begin()
	put("1 0 obj\n<< /Type /Catalog /Pages 2 0 R >>\nendobj\n")
	begin()
	put("2 0 obj\n<< /Type /Pages /Kids [3 0 R] /Count 1 >>\nendobj\n")
	begin()
	put("3 0 obj\n<< /Type /Page /Parent 2 0 R /MediaBox %s /BleedBox %s /TrimBox %s /Resources << /XObject << /Im 5 0 R >> >> /Contents 4 0 R >>\nendobj\n", box, box, trim)
	begin()
	put("4 0 obj\n<< /Length %d >>\nstream\n%s\nendstream\nendobj\n", len(content), content)
	begin()
	put("5 0 obj\n<< /Type /XObject /Subtype /Image /Width %d /Height %d /BitsPerComponent 8 /ColorSpace /DeviceCMYK /Filter /FlateDecode /Length 6 0 R >>\nstream\n", side, side)
	counted := &counter{w: w}
	deflate, err := zlib.NewWriterLevel(counted, zlib.NoCompression)
	if err != nil {
		b.Fatal(err)
	}
	if _, err := io.CopyN(deflate, rand.NewChaCha8([32]byte{1}), int64(4*side*side)); err != nil {
		b.Fatal(err)
	}
	if err := deflate.Close(); err != nil {
		b.Fatal(err)
	}
	offset += counted.n
	put("\nendstream\nendobj\n")
	begin()
	put("6 0 obj\n%d\nendobj\n", counted.n)
	table := offset
	put("xref\n0 %d\n0000000000 65535 f \n", len(starts)+1)
	for _, s := range starts {
		put("%010d 00000 n \n", s)
	}
	put("trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%s\n%%%%EOF\n", len(starts)+1, strconv.Itoa(table))
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
}

// counter counts what is written through it.
type counter struct {
	w io.Writer
	n int
}

func (c *counter) Write(p []byte) (int, error) {
	n, err := c.w.Write(p)
	c.n += n
	return n, err
}
