package impose

import (
	"os"

	"quoin/impose/draw"
	"quoin/impose/press"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// What a frame costs the RIP, said before anything is written.

// mostGrowth and leastGrowth are from where on a file is warned of that holds its
// artworks' content again and again: so many times their bytes, and so many
// bytes. Judgement of our own, no source.
const (
	mostGrowth  = 10
	leastGrowth = 1 << 20
)

// chokeMoves is how often a choked cover draws its artwork.
const chokeMoves = 8

// budget works out what a frame costs the RIP.
func budget(p *Planned, frame draw.Frame) (*summary.RIP, []press.Cost, remarks, error) {
	var said remarks
	costs, err := press.Costs(p.Pages, frame)
	if err != nil {
		return nil, nil, said, err
	}
	r := &summary.RIP{}
	for _, path := range p.files.order {
		if info, err := os.Stat(p.Job.Lies(path)); err == nil {
			r.ArtworkBytes += info.Size()
		}
	}
	r.AboutBytes = r.ArtworkBytes
	for i, c := range costs {
		if c.Shared {
			said.warn(codeTilingShared, "%s has tiling patterns in much content, %s for %s, so that all stations share them; some RIPs run patterns on from the first label over the others: compare two labels of a test frame",
				pageName(p.Job.Artworks[i], p.Pages[i]), say.Count(c.Content, "byte"), say.Count(c.Forms, "form"))
			c.Forms = 1
		}
		r.Forms += c.Forms
		r.AboutBytes += c.Copied()
	}
	for _, item := range frame.Items {
		switch it := item.(type) {
		case draw.Place:
			r.PaintsLabels++
		case draw.Cover:
			if it.Choke > 0 {
				r.PaintsLabels += chokeMoves
			} else {
				r.PaintsLabels++
			}
		}
	}
	if r.AboutBytes > mostGrowth*r.ArtworkBytes && r.AboutBytes > leastGrowth {
		said.warn(codeRipBudget, "the file will take about %s MB, the artworks %s MB: their tiling patterns need %s, each with all of its content. Stations that stand a whole number of the patterns' cells apart share one",
			say.Decimals(float64(r.AboutBytes)/1e6, 1), say.Decimals(float64(r.ArtworkBytes)/1e6, 3), say.Count(r.Forms, "form"))
	}
	return r, costs, said, nil
}
