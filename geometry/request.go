package geometry

import "fmt"

// Repeat is the rule for the frame's length: free up to a maximum, or fixed.
type Repeat struct {
	Max   Length // longest free frame; the frame is as long as its rows need
	Fixed Length // length that the rows are spread over; wins over Max
}

// FixedRepeat is a frame of one length, as a cylinder gives it.
func FixedRepeat(l Length) Repeat { return Repeat{Fixed: l} }

// Request is what a straight layout is planned from.
type Request struct {
	Web    Web
	Label  Size    // trim of the upright label
	Area   float64 // mm2, of the label's shape; zero means the whole rectangle
	Gap    Size    // least gaps, trim to trim
	Bleed  Length  // artwork wanted beyond the trim
	Repeat Repeat
	Turns  []Turn // allowed turns, the one that wins a tie first; none means Turn0
	Lanes  int    // wanted lanes; 0 means as many as fit
	Rows   int    // wanted rows; 0 means as many as fit
	Shift  Length // of the block off the web's centre, to the right
}

// The limits of a request. They are far beyond every press and keep all sums
// and products of a plan inside an int64.
const (
	LongestExtent = 100 * Metre // of any length in a request
	MostStations  = 100_000     // on one frame: 2 mm labels on a web of 400 mm and a frame of 1 m
)

// faults lists what no web could take.
func (r Request) faults() []Reason {
	if out := r.extremes(); len(out) > 0 {
		return out // the sums below are only safe within the limits
	}
	var out []Reason
	bad := func(code, text, nearest string) { out = append(out, Reason{code, text, nearest}) }
	if r.Label.Across <= 0 || r.Label.Around <= 0 {
		bad(CodeLabelSize, fmt.Sprintf("a label of %s has no area", r.Label), "both sides of a label are longer than 0")
	} else if box := r.Label.Area(); !(r.Area >= 0) || r.Area > box*(1+areaRounding) {
		bad(CodeLabelArea, fmt.Sprintf("an area of %g mm2 is impossible in a label of %s", r.Area, r.Label),
			fmt.Sprintf("the shape has at most %g mm2; 0 means all of it", box))
	}
	if r.Gap.Across < 0 || r.Gap.Around < 0 {
		bad(CodeNegativeGap, fmt.Sprintf("the gap of %s is negative", r.Gap), "gaps are 0mm or more")
	}
	if r.Bleed < 0 {
		bad(CodeNegativeBleed, fmt.Sprintf("the bleed of %s is negative", r.Bleed), "bleed is 0mm or more")
	}
	if r.Web.Width <= 0 || r.Web.Edge < 0 || r.Web.TargetLane < 0 {
		bad(CodeWeb, fmt.Sprintf("a web of %s with edges of %s and target lanes of %s is impossible",
			r.Web.Width, r.Web.Edge, r.Web.TargetLane), "the width is more than 0, the others are 0mm or more")
	} else if r.Web.Band() <= 0 {
		bad(CodeNoBand, fmt.Sprintf("edges of %s and target lanes of %s leave nothing of a web of %s",
			r.Web.Edge, r.Web.TargetLane, r.Web.Width), fmt.Sprintf("a web wider than %s has a band", 2*r.Web.Margin()))
	}
	if r.Repeat.Fixed < 0 || r.Repeat.Max < 0 || r.Repeat.Fixed == 0 && r.Repeat.Max == 0 {
		bad(CodeRepeat, "the frame has no length", "give a longest frame or a fixed repeat of more than 0")
	}
	if r.Lanes < 0 || r.Rows < 0 {
		bad(CodeCount, fmt.Sprintf("%d lanes and %d rows are impossible", r.Lanes, r.Rows), "0 means as many as fit")
	}
	return out
}

// areaRounding is what two ways of computing the same area in float64 may
// differ by: a handful of roundings of 2^-53 each.
const areaRounding = 1e-12

// extremes lists the values that are beyond the limits.
func (r Request) extremes() []Reason {
	var out []Reason
	for _, v := range []struct {
		name string
		l    Length
	}{
		{"label across", r.Label.Across}, {"label around", r.Label.Around},
		{"gap across", r.Gap.Across}, {"gap around", r.Gap.Around}, {"bleed", r.Bleed},
		{"web", r.Web.Width}, {"unprintable edge", r.Web.Edge}, {"target lane", r.Web.TargetLane},
		{"longest frame", r.Repeat.Max}, {"repeat", r.Repeat.Fixed}, {"shift", r.Shift},
	} {
		if v.l > LongestExtent || v.l < -LongestExtent {
			out = append(out, Reason{CodeTooLarge,
				fmt.Sprintf("the %s of %s is beyond any press", v.name, v.l),
				fmt.Sprintf("lengths up to %g m are planned", LongestExtent.Metres())})
		}
	}
	if max(r.Lanes, r.Rows) > MostStations {
		out = append(out, tooMany(r.Lanes, r.Rows))
	}
	return out
}

func tooMany(lanes, rows int) Reason {
	lanes, rows = max(lanes, 1), max(rows, 1)
	reason := Reason{Code: CodeTooMany, Text: fmt.Sprintf("%s by %s are more than the %d stations that a frame may hold",
		lanesOf(lanes), rowsOf(rows), MostStations)}
	if lanes > MostStations {
		reason.Nearest = fmt.Sprintf("%s by one row would do", lanesOf(MostStations))
	} else {
		reason.Nearest = fmt.Sprintf("%s by %s would do", lanesOf(lanes), rowsOf(MostStations/lanes))
	}
	return reason
}
