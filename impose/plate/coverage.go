package plate

import (
	"cmp"
	"context"
	"fmt"
	"image"
	"math"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/raster"
	"quoin/impose/thrift"
)

// CoverageOptions say how coverage is measured.
type CoverageOptions struct {
	DPI   float64 // default 300
	Limit float64 // of the inks' total in per cent; 0 for none
	Cache *Cache
	// FromCut is the least distance of text, bars and lines from the cut; zero
	// for DefaultFromCut, negative for none.
	FromCut geometry.Length
	// Cut, unless it is empty, is where the label is cut, with the trim's leading
	// left corner at the origin. Without it the artwork's own die line is or, where
	// it draws none that is clear, the trim.
	Cut outline.Outline
}

// sparse is the share of the trim below which an ink is told as hardly used.
const sparse = 0.1 // per cent

// maxTotals bounds the pixels on which totals are summed up: 18 MB. A page that has
// more is measured at coarse pixels, 12 MB: a frame of 340 x 938 mm at 79 to the inch,
// which are 12 pixels to the smallest target.
const (
	maxTotals = mostFiner + mostFiner/8
	coarse    = 3 << 20
)

// heldGrowth is how much the heap may grow before it is collected, in per cent: with
// the sums of a frame half of it is held to the end.
const heldGrowth = 5

// sums are taken of all inks, pixel by pixel.
type sums struct {
	total []uint16 // of the inks that count for the limit; 255 is one solid ink
	mixed []uint16 // of all that print, each by its weight: tells colours apart
}

// weight returns an ink's place in the mix: other inks of one total differ there.
func weight(i int) uint16 { return 2 + uint16(i%8) }

// Coverage measures how much of each ink a page takes. A page too large for the
// resolution asked for is measured at a lower one, which the report says.
func Coverage(ctx context.Context, p *artwork.Page, r *raster.Renderer, opt CoverageOptions) (*artwork.CoverageReport, error) {
	if opt.DPI <= 0 {
		opt.DPI = 300
	}
	set := New(p, r, Options{DPI: opt.DPI, Cache: opt.Cache})
	if n := float64(set.Grid.Width) * float64(set.Grid.Height); n > maxTotals {
		set = New(p, r, Options{DPI: math.Floor(opt.DPI * math.Sqrt(coarse/n)), Cache: opt.Cache})
		set.large = true
	}
	g := set.Grid
	report := &artwork.CoverageReport{Inks: []artwork.InkCoverage{}, DPI: g.DPI, TotalLimit: opt.Limit, Approx: []artwork.Approximate{}, Findings: []string{}}
	if set.isLarge() {
		defer thrift.Collect(heldGrowth)()
	}
	all := sums{make([]uint16, g.Width*g.Height), make([]uint16, g.Width*g.Height)}
	details := newDetails(set)
	area := p.Size().Across.MM() * p.Size().Around.MM()
	trims, bleeds, err := set.means(ctx, all, details)
	if err != nil {
		return nil, err
	}
	for i, k := range set.Inks {
		trim, bleed := trims[i], bleeds[i]
		report.Inks = append(report.Inks, artwork.InkCoverage{Name: k.Name, Kind: k.Kind, Trim: round(trim), Bleed: round(bleed), TrimMM2: round(trim * area / 100)})
		if trim < sparse && k.Kind != ink.Technical {
			report.Find(artwork.InkSparse, "%s prints %s %% of the label: a station, and perhaps the speed of fewer inks, for hardly any ink", k.Name, number4(trim))
		}
	}
	for _, text := range details.findings() {
		report.Find(artwork.FineInks, "%s", text)
	}
	most, pixel := 0, 0
	for i, v := range all.total {
		if int(v) > most {
			most, pixel = int(v), i
		}
	}
	place := set.Place(pixel%g.Width, pixel/g.Width)
	report.TotalMax = round(float64(most) / 2.55)
	report.TotalMaxAt = [2]float64{hundredths(place.Across.MM()), hundredths(place.Around.MM())}
	if opt.Limit > 0 && report.TotalMax > opt.Limit {
		report.Find(artwork.TotalInk, "the inks add up to %s %% at %s mm across, %s mm around, more than the limit of %s %%: too much ink dries badly and smears",
			number4(report.TotalMax), number4(report.TotalMaxAt[0]), number4(report.TotalMaxAt[1]), number4(opt.Limit))
	}
	at := newCut(set, all, opt.Cut)
	at.emptyBleed(report)
	if least := cmp.Or(opt.FromCut, DefaultFromCut); least > 0 {
		if err := at.nearCut(ctx, report, least.MM()); err != nil {
			return nil, err
		}
	}
	for _, a := range set.Approximate() {
		report.Approx = append(report.Approx, artwork.Approximate(a))
	}
	return report, nil
}

// means returns the mean tint of each plate within the trim and within the bleed in
// per cent, and adds the plates to the sums.
func (s *Set) means(ctx context.Context, to sums, details *details) (trim, bleed []float64, err error) {
	in, around := s.Grid.whole(s.Page, s.Page.Boxes.Trim), s.Grid.whole(s.Page, s.Page.Boxes.Bleed)
	inside, sum := make([]int64, len(s.Inks)), make([]int64, len(s.Inks))
	err = s.Draw(ctx, s.every(), func(i int, b Band) error {
		k := s.Inks[i]
		for row := range b.Rows() {
			y := b.Y + row
			line := b.Pixels[row*b.Width : (row+1)*b.Width]
			inside[i] += inkIn(line, y, in)
			sum[i] += inkIn(line, y, around)
			if k.Kind != ink.Technical {
				addWeighted(to.mixed[y*b.Width:], line, weight(i))
			}
			if k.counts() {
				addWeighted(to.total[y*b.Width:], line, 1)
				details.row(i, y, line)
			}
		}
		return nil
	})
	for i := range s.Inks {
		trim, bleed = append(trim, percent(inside[i], in)), append(bleed, percent(sum[i], around))
	}
	return trim, bleed, err
}

// inkIn adds up what of a row lies in a box of pixels.
func inkIn(line []byte, y int, in image.Rectangle) (sum int64) {
	if y < in.Min.Y || y >= in.Max.Y {
		return 0
	}
	for _, v := range line[in.Min.X:in.Max.X] {
		sum += int64(v)
	}
	return sum
}

func addWeighted(sums []uint16, line []byte, weight uint16) {
	for x, v := range line {
		sums[x] += weight * uint16(v)
	}
}

func percent(sum int64, of image.Rectangle) float64 {
	return float64(sum) / 2.55 / float64(max(of.Dx()*of.Dy(), 1))
}

func round(v float64) float64      { return math.Round(v*1e3) / 1e3 }
func hundredths(v float64) float64 { return math.Round(v*100) / 100 }

func number4(v float64) string { return fmt.Sprintf("%.4g", v) }
