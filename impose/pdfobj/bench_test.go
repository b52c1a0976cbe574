package pdfobj

import (
	"bufio"
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"quoin/impose/witness"
)

// artwork writes a file of about the given size: one page with ten images
// that no compression makes smaller.
func artwork(b *testing.B, path string, megabytes int) {
	b.Helper()
	out, err := os.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	defer out.Close()
	buffered := bufio.NewWriter(out)
	w, err := NewWriter(buffered, WriterOptions{})
	if err != nil {
		b.Fatal(err)
	}
	check := func(err error) {
		if err != nil {
			b.Fatal(err)
		}
	}
	noise := rand.NewChaCha8([32]byte{})
	images := Dict{}
	for i := range 10 {
		ref := w.Alloc()
		images[Name(fmt.Sprintf("Im%d", i))] = ref
		data := make([]byte, megabytes*100_000)
		noise.Read(data)
		check(w.PutStream(ref, Dict{"Type": Name("XObject"), "Subtype": Name("Image"), "Width": Integer(1000),
			"Height": Integer(len(data) / 1000), "ColorSpace": Name("DeviceGray"), "BitsPerComponent": Integer(8),
			"Filter": Name("DCTDecode")}, bytes.NewReader(data), int64(len(data)), false))
	}
	catalog, pages, page := w.Alloc(), w.Alloc(), w.Alloc()
	check(w.Put(catalog, Dict{"Type": Name("Catalog"), "Pages": pages}))
	check(w.Put(pages, Dict{"Type": Name("Pages"), "Kids": Array{page}, "Count": Integer(1)}))
	check(w.Put(page, Dict{"Type": Name("Page"), "Parent": pages, "Resources": Dict{"XObject": images},
		"MediaBox": Array{Integer(0), Integer(0), Integer(100), Integer(100)}}))
	check(w.Close(catalog, Ref{}))
	check(buffered.Flush())
}

// manyObjects writes a file whose page has n small objects.
func manyObjects(b *testing.B, path string, n int) {
	b.Helper()
	f := withResources("/Next 5 0 R")
	for i := range n {
		f.objects = append(f.objects, fmt.Sprintf("<</Next %d 0 R/Numbers[%d 2.5 (a string)]/Name/Value>>", 6+i, i))
	}
	f.objects = append(f.objects, "(end)")
	if err := os.WriteFile(path, []byte(f.String()), 0o600); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkCopy copies page 1 of a file into a new file, and says how its
// time compares with that of cp and of qpdf on the same file, start of the
// process included for those two.
func BenchmarkCopy(b *testing.B) {
	for _, c := range []struct {
		name string
		make func(b *testing.B, path string)
	}{
		{"20MB", func(b *testing.B, path string) { artwork(b, path, 20) }},
		{"200MB", func(b *testing.B, path string) { artwork(b, path, 200) }},
		{"100000-objects", func(b *testing.B, path string) { manyObjects(b, path, 100_000) }},
	} {
		b.Run(c.name, func(b *testing.B) {
			dir := b.TempDir()
			in, out := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.pdf")
			c.make(b, in)
			info, err := os.Stat(in)
			if err != nil {
				b.Fatal(err)
			}
			b.SetBytes(info.Size())
			b.ReportAllocs()
			var ours, qpdf, cp time.Duration
			// The three take turns, so that a busy machine is busy for all.
			for b.Loop() {
				ours += clocked(b, out, func() error { return copyFile(in, out) })
				b.StopTimer()
				qpdf += clocked(b, out, exec.Command(witness.Need(b, "qpdf"), in, out).Run)
				cp += clocked(b, out, exec.Command("cp", in, out).Run)
				b.StartTimer()
			}
			b.ReportMetric(ours.Seconds()/qpdf.Seconds(), "of-qpdf")
			b.ReportMetric(ours.Seconds()/cp.Seconds(), "of-cp")
		})
	}
}

// clocked runs a copy to a file that does not exist yet.
func clocked(b *testing.B, out string, run func() error) time.Duration {
	if err := os.RemoveAll(out); err != nil {
		b.Fatal(err)
	}
	start := time.Now()
	if err := run(); err != nil {
		b.Fatal(err)
	}
	return time.Since(start)
}

func copyFile(in, out string) error {
	d, err := OpenFile(in, Limits{})
	if err != nil {
		return err
	}
	defer d.Close()
	f, err := os.Create(out)
	if err != nil {
		return err
	}
	if err := copyPage(d, f, nil); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
