package vary_test

import (
	"bytes"
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"quoin/impose/raster"
	"quoin/impose/vary"
)

// BenchmarkMiddleRatio prints what it takes readers, in processor time, to draw the
// middle page of a part as large as parts get by themselves, as times of a small file of 100 frames:
// text alone, where a page itself takes least.
func BenchmarkMiddleRatio(b *testing.B) {
	file := func(frames int64) string {
		p := plan(b, frames*72, textField())
		p.Layout = layout(b, 0, 9)
		path := filepath.Join(b.TempDir(), "run.pdf")
		f, err := os.Create(path)
		if err == nil {
			err = prepare(b, p).WriteFrames(context.Background(), f, io.Discard, 0, frames, nil)
		}
		if err == nil {
			err = f.Close()
		}
		if err != nil {
			b.Fatal(err)
		}
		return path
	}
	small, large := file(100), file(vary.UsualFrames)
	for name, args := range map[string]string{
		"mutool": "draw -q -r 36 -o OUT.png IN PAGE", "pdftoppm": "-r 36 -f PAGE -l PAGE IN OUT",
		"gs": "-q -dNOPAUSE -dBATCH -r36 -sDEVICE=png16m -dFirstPage=PAGE -dLastPage=PAGE -o OUT.png IN",
	} {
		b.Run(name, func(b *testing.B) {
			if _, err := exec.LookPath(name); err != nil {
				b.Skip("there is no " + name)
			}
			draw := func(path string, page int64) (used time.Duration) {
				line := strings.NewReplacer("IN", path, "PAGE", strconv.FormatInt(page, 10), "OUT", filepath.Join(b.TempDir(), "page")).Replace(args)
				cmd := exec.Command(name, strings.Fields(line)...)
				if err := cmd.Run(); err != nil {
					b.Fatal(err)
				}
				return cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
			}
			var one, other time.Duration
			for b.Loop() {
				one += draw(small, 50)
				other += draw(large, vary.UsualFrames/2)
			}
			b.ReportMetric(float64(other)/float64(one), "x-small")
		})
	}
	b.Run("pdfium", func(b *testing.B) {
		r, err := raster.New(b.Context(), func(string) {})
		if err != nil {
			b.Fatal(err)
		}
		defer r.Close()
		draw := func(path string, page int) float64 {
			text, err := os.ReadFile(path)
			if err != nil {
				b.Fatal(err)
			}
			begun := cpu(b)
			book, err := r.OpenBook(bytes.NewReader(text), int64(len(text)))
			if err != nil {
				b.Fatal(err)
			}
			defer book.Close()
			sheet, err := book.Sheet(page)
			if err != nil {
				b.Fatal(err)
			}
			defer sheet.Close()
			if err := sheet.Bands(b.Context(), 480, 1400, func(int, raster.Planes) error { return nil }); err != nil {
				b.Fatal(err)
			}
			return cpu(b) - begun
		}
		var one, other float64
		for b.Loop() {
			one += draw(small, 49)
			other += draw(large, vary.UsualFrames/2-1)
		}
		b.ReportMetric(other/one, "x-small")
	})
}
