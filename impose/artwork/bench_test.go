package artwork

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// drawing is content as drawing programs write it: many short paths with now
// and then a new colour.
func drawing(bytes int) string {
	random := rand.New(rand.NewPCG(1, 2))
	n := func() string { return fmt.Sprintf("%.3f", random.Float64()*100) }
	var b strings.Builder
	for b.Len() < bytes {
		fmt.Fprintf(&b, "q\n%s 0 0 %s %s %s cm\n0 .%d .9 0 k\n", n(), n(), n(), n(), random.IntN(9))
		for range 12 {
			fmt.Fprintf(&b, "%s %s m\n%s %s l\n%s %s %s %s %s %s c\nh\nf\n", n(), n(), n(), n(), n(), n(), n(), n(), n(), n())
		}
		b.WriteString("Q\n")
	}
	return b.String()
}

// BenchmarkScan measures how fast a page's content is looked through, against
// the bytes of decoded content.
func BenchmarkScan(b *testing.B) {
	content := drawing(4 << 20)
	path := onePage(b, "/Contents 4 0 R", witness.Stream("", content))
	f, err := Open(path, Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	b.SetBytes(int64(len(content)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := f.Page(1); err != nil {
			b.Fatal(err)
		}
	}
}
