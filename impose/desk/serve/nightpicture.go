package serve

import (
	"fmt"
	"strings"

	night "quoin/impose/night/plan"
	"quoin/impose/say"
)

// lanesOf draws a run's lanes to scale across, each with its order; blank ones
// stay white.
func lanesOf(r night.Run) string {
	const wide, high = 300.0, 84.0
	n := max(1, r.Lanes)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %g %g" role="img" aria-label="%s">`, wide, high, say.Count(n, "lane"))
	lane := wide / float64(n)
	at := 0
	for i, o := range r.Orders {
		lanes := int(o.Lanes)
		if lanes == 0 { // stations in mixed lanes
			lanes = max(1, int(o.Stations)/max(1, r.Rows))
		}
		lanes = min(lanes, n-at)
		for k := range lanes {
			left := float64(at+k) * lane
			fmt.Fprintf(&b, `<rect class="lane l%d" x="%.1f" y="1" width="%.1f" height="%g"/>`, i%6, left+1, lane-2, high-2)
			fmt.Fprintf(&b, `<text x="%.1f" y="%g">%s</text>`, left+lane/2, high/2+7, say.Letter(i+1))
		}
		at += lanes
	}
	for ; at < n; at++ {
		fmt.Fprintf(&b, `<rect class="lane blank" x="%.1f" y="1" width="%.1f" height="%g"/>`, float64(at)*lane+1, lane-2, high-2)
	}
	b.WriteString("</svg>")
	return b.String()
}
