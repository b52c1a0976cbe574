package filter

import (
	"bytes"
	"compress/flate"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	fast "github.com/klauspost/compress/flate"
)

// paths is content as drawing programs write it.
func paths(bytes int) string {
	random := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	for b.Len() < bytes {
		fmt.Fprintf(&b, "%.3f %.3f m\n%.3f %.3f l\n%.3f %.3f %.3f %.3f %.3f %.3f c\nh\nf\n", random.Float64()*100, random.Float64()*100,
			random.Float64()*100, random.Float64()*100, random.Float64()*100, random.Float64()*100, random.Float64()*100, random.Float64()*100, random.Float64()*100, random.Float64()*100)
	}
	return b.String()
}

// packed deflates text at a level of Go's own encoder.
func packed(t testing.TB, text string, level int) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, level)
	if err != nil {
		t.Fatal(err)
	}
	io.WriteString(w, text)
	w.Close()
	return b.Bytes()
}

// held compares what the inflater gives of raw deflate data with what Go's own
// decoder does. That one may give up some bytes before cut data end, as it waits for
// a whole symbol and the end of its block.
func held(t testing.TB, data []byte, source io.Reader) {
	t.Helper()
	if len(data) < 2 || isZlibHeader(data[0], data[1]) || strings.IndexByte("\r\n ", data[0]) >= 0 {
		return
	}
	want, wantErr := io.ReadAll(flate.NewReader(bytes.NewReader(data)))
	got, err := io.ReadAll(&inflate{src: source})
	cut := err == io.ErrUnexpectedEOF && wantErr == err
	if (err == nil) != (wantErr == nil) || !bytes.HasPrefix(got, want) || len(got) != len(want) && !(cut && len(got) < len(want)+16*maxMatch) {
		t.Fatalf("%d bytes and %v, want %d and %v", len(got), err, len(want), wantErr)
	}
}

func TestInflateReadsAsGoDoes(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	noise := make([]byte, 100_000)
	for i := range noise {
		noise[i] = byte(random.Uint32())
	}
	skewed := make([]byte, 300_000) // codes of all lengths, those beyond the table too
	for i := range skewed {
		skewed[i] = byte(random.ExpFloat64() * 9)
	}
	for name, text := range map[string]string{
		"paths": paths(600_000), "noise": string(noise), "skewed": string(skewed), "zeros": strings.Repeat("\x00", 500_000), "short": "abc", "two": strings.Repeat("ab", 70_000),
		"far": string(noise[:32<<10]) + string(noise[:32<<10]) + string(noise[:40_000]),
	} {
		for _, level := range []int{flate.HuffmanOnly, 0, 1, 6, 9} {
			data := packed(t, text, level)
			held(t, data, bytes.NewReader(data))
			if len(data) < 20_000 {
				held(t, data, iotest.OneByteReader(bytes.NewReader(data)))
			}
			got, err := io.ReadAll(iotest.HalfReader(&inflate{src: iotest.DataErrReader(bytes.NewReader(data))}))
			if err != nil || string(got) != text {
				t.Fatalf("%s, level %d: %d bytes of %d, %v", name, level, len(got), len(text), err)
			}
			for range 60 { // cut off, or with a bit the other way
				damaged := bytes.Clone(data)
				if random.IntN(2) == 0 {
					damaged = damaged[:random.IntN(len(damaged))]
				} else {
					damaged[random.IntN(len(damaged))] ^= 1 << random.IntN(8)
				}
				held(t, damaged, bytes.NewReader(damaged))
			}
		}
	}
}

func FuzzInflate(f *testing.F) {
	for _, level := range []int{flate.HuffmanOnly, 0, 1, 9} {
		f.Add(packed(f, paths(2000), level))
	}
	f.Add([]byte{5, 192, 1, 9, 0, 0, 0, 128, 32, 183, 254, 175}) // a code of one bit alone
	f.Fuzz(func(t *testing.T, data []byte) { held(t, data, bytes.NewReader(data)) })
}

// BenchmarkInflateRatio prints the time for packed paths as a share of those that
// the decoder of Go and the quickest library at hand take.
func BenchmarkInflateRatio(b *testing.B) {
	data := packed(b, paths(8<<20), 6)
	took := func(r io.Reader) time.Duration {
		start := time.Now()
		if _, err := io.Copy(io.Discard, r); err != nil {
			b.Fatal(err)
		}
		return time.Since(start)
	}
	var ours, theirs, library time.Duration
	for b.Loop() {
		ours += took(&inflate{src: bytes.NewReader(data)})
		theirs += took(flate.NewReader(bytes.NewReader(data)))
		library += took(fast.NewReader(bytes.NewReader(data)))
	}
	b.ReportMetric(float64(ours)/float64(theirs), "x-go")
	b.ReportMetric(float64(ours)/float64(library), "x-library")
}
