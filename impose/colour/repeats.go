package colour

import (
	"strconv"
	"strings"

	"quoin/impose/say"
)

// Repeats names repeats of a run, counted from 1, of which a list of targets has
// a row for each patch. The zero value names none: then the list has the frame
// once, as it comes back in every repeat.
type Repeats struct {
	text string
	list []stretch
}

// stretch is every step-th repeat from first to last; last 0 is the run's end.
type stretch struct{ first, last, step int64 }

const repeatsWay = "write them as in 1,100-200 or 1-5000/50 for every fiftieth, or all"

// MarshalText returns the words that the repeats were named by.
func (s Repeats) MarshalText() ([]byte, error) { return []byte(s.text), nil }

// UnmarshalText reads numbers and ranges with commas between them, each range
// perhaps with a step behind a slash, or "all".
func (s *Repeats) UnmarshalText(text []byte) error {
	read := Repeats{text: string(text)}
	for part := range strings.SplitSeq(string(text), ",") {
		part = strings.TrimSpace(part)
		if part == "all" {
			read.list = append(read.list, stretch{1, 0, 1})
			continue
		}
		span, step, stepped := strings.Cut(part, "/")
		first, last, ranged := strings.Cut(span, "-")
		one := stretch{step: 1}
		var ok [3]bool
		one.first, ok[0] = positive(first)
		one.last, ok[1] = one.first, true
		if ranged {
			one.last, ok[1] = positive(last)
		}
		if ok[2] = true; stepped {
			one.step, ok[2] = positive(step)
		}
		if ok != [3]bool{true, true, true} || one.last < one.first {
			return say.Refuse(say.Usage, repeatsWay, "%q names no repeats", part)
		}
		read.list = append(read.list, one)
	}
	*s = read
	return nil
}

func positive(text string) (int64, bool) {
	n, err := strconv.ParseInt(strings.TrimSpace(text), 10, 64)
	return n, err == nil && n > 0
}

// mostRows bounds a list of targets: some 200 MB.
const mostRows = 2_000_000

// of lists the repeats of a run in the order named, each as often as it is.
func (s Repeats) of(r *PressRun) ([]int64, error) {
	var out []int64
	for _, one := range s.list {
		if one.last == 0 {
			one.last = r.Run.Frames
		}
		if one.last > r.Run.Frames {
			return nil, say.Refuse(say.Usage, repeatsWay, "repeat %s is named, and the run has %s", say.Number(one.last), say.Number(r.Run.Frames))
		}
		for n := one.first; n <= one.last; n += one.step {
			if int64(len(out)+1)*int64(len(r.Targets)) > mostRows {
				return nil, say.Refuse(say.Usage, "name fewer, as in 1-"+strconv.FormatInt(r.Run.Frames, 10)+"/100", "a list of these repeats has more than %s rows", say.Number(int64(mostRows)))
			}
			out = append(out, n)
		}
	}
	return out, nil
}
