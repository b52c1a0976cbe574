package data_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"quoin/impose/checkdigit"
	"quoin/impose/data"
)

// Worked by hand: 35 is Z, 36 is 10; of the letters A, B and C, 5 is 12 in threes.
func TestLetters(t *testing.T) {
	r := open(t, data.Definition{Count: 3, Counters: []data.Counter{
		{Name: "a", Start: 35, Pad: 4, Letters: data.Base36}, {Name: "b", Start: 5, Step: 4, Letters: "ABC"},
	}})
	if got := fmt.Sprint(all(t, r, 1)); got != "[000Z|BC 0010|BAA 0011|BBB]" {
		t.Error(got)
	}
	for want, c := range map[string]data.Counter{
		"tells no numbers apart":     {Name: "n", Letters: "ABCA"},
		"has more than 2 digits":     {Name: "n", Start: 1295, Pad: 2, Letters: data.Base36},
		"numbers of ten digits only": {Name: "n", Letters: data.Base36, Check: checkdigit.GS1},
	} {
		refused(t, want, data.Definition{Count: 2, Counters: []data.Counter{c}})
	}
}

func refused(t *testing.T, want string, d data.Definition) {
	t.Helper()
	r, err := data.Open(d)
	if err == nil {
		err = r.Scan(context.Background(), nil)
	}
	if err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("%v, want %q", err, want)
	}
}

// All codes of a length are given out, each once, the same for the same key, from
// any record on; a run that goes on with the key repeats none.
func TestRandomCodesNeverRepeat(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		alphabet := rapid.SampledFrom([]string{"AB", "0123456789", "ABCDEFG", "äöü€"}).Draw(rt, "alphabet")
		length := rapid.IntRange(1, 4).Draw(rt, "length")
		key := rapid.SliceOfN(rapid.Byte(), 1, 8).Draw(rt, "key")
		n := int64(1)
		for range length {
			n *= int64(len([]rune(alphabet)))
		}
		cut := rapid.Int64Range(1, n).Draw(rt, "cut")
		def := func(count, start int64) data.Definition {
			return data.Definition{Count: count, Randoms: []data.Random{{Name: "c", Letters: alphabet, Length: length, Key: key, Start: start}}}
		}
		whole := all(t, open(t, def(n, 0)), 1)
		parts := all(t, open(t, def(cut, 0)), 1)
		if cut < n {
			parts = append(parts, all(t, open(t, def(n-cut, cut)), 1)...)
		}
		if !slices.Equal(whole, parts) {
			rt.Fatalf("%v, in two runs %v", whole, parts)
		}
		if from := all(t, open(t, def(n, 0)), cut); !slices.Equal(from, whole[cut-1:]) {
			rt.Fatalf("from %d on: %v", cut, from)
		}
		slices.Sort(whole)
		if len(slices.Compact(whole)) != int(n) {
			rt.Fatalf("%d codes of %d", len(slices.Compact(whole)), n)
		}
	})
	refused(t, "make 100 codes", data.Definition{Count: 101, Randoms: []data.Random{{Name: "c", Letters: "0123456789", Length: 2, Key: []byte("k")}}})
	refused(t, "something to begin with", data.Definition{Count: 1, Randoms: []data.Random{{Name: "c", Length: 8}}})
	refused(t, "than can be counted", data.Definition{Count: 1, Randoms: []data.Random{{Name: "c", Length: 30, Key: []byte("k")}}})
}

// Letters come up alike: of 20,000 codes of four letters of ten, each digit stands
// at each place 2,000 times, give or take five times the root of 1,800.
func TestRandomCodesAreEven(t *testing.T) {
	r := open(t, data.Definition{Count: 20_000, Randoms: []data.Random{{Name: "c", Letters: "0123456789", Length: 8, Key: []byte("fixed")}}})
	var seen [8][10]int
	for _, code := range all(t, r, 1) {
		for i, c := range code {
			seen[i][c-'0']++
		}
	}
	for place, digits := range seen {
		for digit, n := range digits {
			if n < 2000-212 || n > 2000+212 {
				t.Errorf("%d stands %d times at place %d", digit, n, place)
			}
		}
	}
}

// Copies and ranges read the same from any record on, as a plain walk over the
// rows makes them.
func TestCopiesAndRanges(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rows := rapid.IntRange(1, 9000).Draw(rt, "rows")
		most := rapid.IntRange(1, 3).Draw(rt, "most")
		d := data.Definition{Counters: []data.Counter{{Name: "n", Start: 1}}}
		d.First = int64(rapid.IntRange(0, rows).Draw(rt, "first"))
		if rapid.Bool().Draw(rt, "to the end") {
			d.Last = int64(rapid.IntRange(max(1, int(d.First)), rows).Draw(rt, "last"))
		}
		column := rapid.Bool().Draw(rt, "column")
		d.Copies = int64(most)
		var text strings.Builder
		text.WriteString("qty\n")
		var want []string
		for i := range rows {
			n := most
			if column {
				n = (i * 7) % (most + 1)
			}
			fmt.Fprintf(&text, "%d\n", n)
			if int64(i+1) < d.First || d.Last > 0 && int64(i+1) > d.Last {
				continue
			}
			for range n {
				want = append(want, fmt.Sprintf("%d|%d", n, i+1))
			}
		}
		if column {
			d.Copies, d.Column = 0, "qty"
		}
		if !column && rapid.Bool().Draw(rt, "counted") {
			d.Count = int64(rows)
			for i := range want {
				_, want[i], _ = strings.Cut(want[i], "|")
			}
		} else {
			d.File = file(t, text.String())
		}
		if len(want) == 0 {
			return
		}
		r := open(t, d)
		if r.Count != int64(len(want)) {
			rt.Fatalf("%d labels, want %d", r.Count, len(want))
		}
		from := rapid.IntRange(1, len(want)).Draw(rt, "from")
		if got := all(t, r, int64(from)); !slices.Equal(got, want[from-1:]) {
			rt.Fatalf("from %d on: %d labels, %.80v, want %d, %.80v", from, len(got), got, len(want[from-1:]), want[from-1:])
		}
	})
	refused(t, "codes.csv:3: record 2: qty: \"x\" is no number of copies", data.Definition{File: file(t, "qty\n1\nx\n"), Repeats: data.Repeats{Column: "qty"}})
	refused(t, "none of the records is printed", data.Definition{File: file(t, "qty\n0\n"), Repeats: data.Repeats{Column: "qty"}})
}
