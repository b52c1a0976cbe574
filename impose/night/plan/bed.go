package plan

import (
	"fmt"

	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// bed is what orders must have in common to share a frame, beside their inks.
type bed struct {
	stock string
	roll  int64      // frames of a lane for a roll
	lay   intake.Lay // of a band, without the label's width and the number of lanes
	band  bool       // labels may differ in width
}

// bedOf returns the bed of an order's forme.
func bedOf(stock string, f *intake.Forme, roll int64, r *night.Rules) bed {
	b := bed{stock: stock, roll: roll, lay: f.Ground()}
	if b.band = r.Widths && !r.Mixed && f.Die == "" && r.House.Lanes == 0 && f.Shape.Rectangular(); b.band {
		b.lay.Label.Across, b.lay.Across = 0, 0
	}
	return b
}

func (g *group) bed(r *night.Rules) bed { return bedOf(g.stock, g.forme(), g.roll, r) }

// groupKey is what orders of one group have in common.
type groupKey struct {
	bed
	inks  string
	alone int // for an order that shares no frame, its own; else -1
}

func keyOf(o *intake.Order, r *night.Rules) groupKey {
	if o.SharesNoFrame() {
		return groupKey{alone: o.Index}
	}
	return groupKey{bedOf(o.Stock, o.Forme, o.RollFrames, r), fmt.Sprintf("%q", o.PrintInks), -1}
}
