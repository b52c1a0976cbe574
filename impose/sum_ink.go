package impose

import (
	"context"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/summary"
)

// InkMeter measures the ink on a part of an artwork's page, in mm² of solid by
// the artwork's names of its inks, and the area in mm² that any of them paints,
// varnish left out. The part is closed polygons on the label as it is seen
// upright, from its trim's leading left corner. impose/plate has one.
type InkMeter func(ctx context.Context, p *artwork.Page, outline [][]geometry.Position) (inks map[string]float64, painted float64, err error)

// InkOnFrame adds up what stands on one frame, in mm² of solid by the names of
// the job's printing inks. Where labels lie on each other's bleed both count.
func (im *Imposition) InkOnFrame(ctx context.Context, measure InkMeter) (map[string]float64, error) {
	sums := inkSums{im: im, measure: measure, frame: map[string]float64{}, parts: map[string]inkPart{}}
	for _, item := range im.Frame.Items {
		if err := sums.addItem(ctx, item); err != nil {
			return nil, err
		}
	}
	return sums.frame, nil
}

// inkSums adds up a frame's ink. Stations that show the same part of an artwork
// are measured once.
type inkSums struct {
	im      *Imposition
	measure InkMeter
	frame   map[string]float64
	parts   map[string]inkPart
}

type inkPart struct {
	inks    map[string]float64
	painted float64
}

func (s *inkSums) addItem(ctx context.Context, item draw.Item) error {
	switch x := item.(type) {
	case draw.Place:
		part, err := s.part(ctx, x)
		if err != nil {
			return err
		}
		for name, mm2 := range part.inks {
			s.frame[name] += mm2
		}
	case draw.Cover:
		part, err := s.part(ctx, x.Place)
		if err != nil {
			return err
		}
		s.paint(x.Paint, part.painted)
	case draw.Fill:
		s.paint(x.Paint, x.Path.Area())
	case draw.Text:
		s.paint(x.Paint, x.Fill().Path.Area())
	case draw.Stroke:
		s.paint(x.Paint, x.Path.LengthMM()*x.Width.MM())
	}
	return nil
}

func (s *inkSums) paint(p draw.Paint, mm2 float64) {
	for _, t := range p.Tints {
		if e, ok := s.im.Inks.Find(t.Ink); ok && e.Prints() {
			s.frame[e.Name] += t.Amount * mm2
		}
	}
}

// part measures what a station shows of its artwork.
func (s *inkSums) part(ctx context.Context, x draw.Place) (inkPart, error) {
	page := s.im.Pages[x.Art]
	outline := shown(x, page.Size())
	key := fmt.Sprint(x.Art, outline)
	if part, known := s.parts[key]; known {
		return part, nil
	}
	inks, painted, err := s.measure(ctx, page, outline)
	if err != nil {
		return inkPart{}, fmt.Errorf("%s: measuring its ink: %w", page.Name(), err)
	}
	part := inkPart{inks: map[string]float64{}, painted: painted}
	addPrinting(part.inks, s.im.Inks, inks, 1)
	s.parts[key] = part
	return part, nil
}

// addPrinting adds what was measured of an artwork's inks to what is known of those
// that print: all of it, or the share of one among several artworks.
func addPrinting(to map[string]float64, table *ink.Table, measured map[string]float64, among float64) {
	for name, mm2 := range measured {
		for _, e := range table.Inks {
			if e.Prints() && slices.Contains(e.Spelled, name) {
				to[e.Name] += mm2 / among
			}
		}
	}
}

// shown returns a station's clip on the label as it is seen upright, from the
// trim's leading left corner.
func shown(x draw.Place, size geometry.Size) [][]geometry.Position {
	trim := x.Trim.Size()
	label := trim
	if x.Turn.Swaps() {
		label = geometry.Size{Across: trim.Around, Around: trim.Across}
	}
	parts := x.Clip.Polygons()
	for _, part := range parts {
		for i, at := range part {
			on := upright(geometry.Position{Across: at.Across - x.Trim.Min.Across, Around: at.Around - x.Trim.Min.Around}, trim, x.Turn)
			part[i] = geometry.Position{Across: on.Across + (size.Across-label.Across)/2, Around: on.Around + (size.Around-label.Around)/2}
		}
	}
	return parts
}

// inkUse returns what the run takes of each printing ink, in the table's order;
// frame is what one frame takes, nil where nobody measured it.
func inkUse(im *Imposition, frame map[string]float64, frames int64) []summary.InkUse {
	if frame == nil {
		return nil
	}
	labels := float64(max(1, placed(im.Places)))
	return usesOf(im.Inks, im.Job.Press, func(name string) summary.InkUse {
		mm2 := frame[name]
		return summary.InkUse{Label: mm2 / labels, Frame: mm2 / 1e6, M2: mm2 / 1e6 * float64(frames)}
	})
}

// usesOf lists what is used of each printing ink, priced, in the table's order.
func usesOf(table *ink.Table, press *job.Press, use func(name string) summary.InkUse) []summary.InkUse {
	list := []summary.InkUse{}
	for _, e := range table.Inks {
		if e.Prints() {
			u := use(e.Name)
			u.Name, u.Kind = e.Name, string(e.Kind)
			priceUse(&u, press)
			list = append(list, u)
		}
	}
	return list
}

// priceUse says what an area of solid weighs and costs, as far as the press file
// knows.
func priceUse(u *summary.InkUse, press *job.Press) {
	if press == nil {
		return
	}
	u.G = times(press.InkUse.Of(u.Name, u.Kind), u.M2)
	if u.G != nil && press.Prices != nil {
		u.Cost = times(press.Prices.InkPerKg.Of(u.Name, u.Kind), *u.G/1000)
	}
}

// times multiplies by a figure that may be unknown.
func times(figure, amount float64) *float64 {
	if figure <= 0 {
		return nil
	}
	product := figure * amount
	return &product
}

// placed counts the stations that carry a label.
func placed(places []int) (n int) {
	for _, art := range places {
		if art >= 0 {
			n++
		}
	}
	return n
}

// UnderprintInks names the inks of an underprint, one for each hit; none of nil.
func UnderprintInks(u *job.Underprint) []string {
	if u == nil {
		return nil
	}
	return whiteHits(u)
}
