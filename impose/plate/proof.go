package plate

import (
	"context"
	"fmt"
	"image"
	"math"
	"slices"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/raster"
)

// pixelLimit is the largest difference that two drawings of the same thing at
// the same place have: the renderer's places are of 24 bits, which moves an edge
// on a frame of a metre by less than a thousandth of a pixel, and it rounds
// tints to eight bits once more for each form that is around them. A label that
// stands 50 µm off moves an edge of solid ink by 20 points at 100 to the inch,
// one of a tint of 20 % by 4.
const pixelLimit = 3.0

// offsets are where pixels begin, in pixels from the corner of a station's clip.
// Pictures are drawn on whole pixels, so that one whose edge falls on the middle
// of a pixel may be drawn a pixel off: what differs is looked at again.
var offsets = [][2]float64{{.37, .23}, {.71, .59}, {.13, .83}}

// prover draws and compares.
type prover struct {
	r        *raster.Renderer
	frame    *Frame
	perPoint float64
	report   *PixelReport
	spaces   map[*artwork.Page]*spaces
	drawn    map[string][]byte // artworks on the plate by how they stand
	digests  *digests
	twins    *twins          // of the plate that is being compared
	compared map[[2]int]bool // stations by lane and row, without those that are known to be the same on all plates
}

// Prove draws each plate of a frame and of the artworks on it, and compares
// every station with its artwork on one grid of pixels, and the middle of each
// patch with its tints. Of stations that paint the same form in the same way, with
// nothing else on them, one shows what all of them are.
func Prove(ctx context.Context, r *raster.Renderer, f *Frame, dpi float64) (*PixelReport, error) {
	return newProver(r, f, dpi).prove(ctx)
}

func newProver(r *raster.Renderer, f *Frame, dpi float64) *prover {
	return &prover{r: r, frame: f, perPoint: dpi / 72, spaces: map[*artwork.Page]*spaces{}, digests: newDigests(f.Page.Doc), compared: map[[2]int]bool{},
		report: &PixelReport{Stations: len(f.Stations), Patches: len(f.Patches), Inks: len(f.Inks), DPI: dpi, Limit: pixelLimit}}
}

func (p *prover) prove(ctx context.Context) (*PixelReport, error) {
	for _, name := range p.frame.Inks {
		if err := p.plate(ctx, name); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	p.report.Distinct = len(p.compared)
	return p.report, nil
}

func (p *prover) plate(ctx context.Context, name string) error {
	of := Ink{process: processNumber(name)}
	of.Name = name
	p.drawn = map[string][]byte{}
	// One station of each kind shows whether its tiling patterns are there.
	type kind struct {
		page *artwork.Page
		turn int
	}
	seen := map[kind]bool{}
	var err error
	if p.twins, err = p.lookAround(ctx, of); err != nil {
		return err
	}
	for _, s := range p.barest(name) {
		if p.twins.known(p, s) {
			continue
		}
		p.compared[[2]int{s.Lane, s.Row}] = true
		if err := p.station(ctx, of, s, true); err != nil {
			return err
		}
		if !s.Page.Tiling || seen[kind{s.Page, s.Turn}] {
			continue
		}
		seen[kind{s.Page, s.Turn}] = true
		if err := p.station(ctx, of, s, false); err != nil {
			return err
		}
	}
	return p.patches(ctx, of)
}

// sheet opens the frame's plate with the labels that lie in a part of it: exact
// without tiling patterns, whose cells the renderer moves to whole pixels, here
// to one and there to its neighbour.
func (p *prover) sheet(ctx context.Context, of Ink, part artwork.Rect, exact bool) (*raster.Sheet, error) {
	b, err := newBuilder(ctx, p.frame.Page, []Ink{of}, p.space(p.frame.Page, nil), &approximations{})
	if err != nil {
		return nil, err
	}
	b.noTiling, b.smallCells, b.cull = exact, true, &part
	pdf, err := b.build(p.frame.Page.Boxes.Media)
	if err != nil {
		return nil, err
	}
	return p.r.Open(ctx, pdf)
}

func (p *prover) space(page *artwork.Page, names map[string]string) *spaces {
	if p.spaces[page] == nil {
		p.spaces[page] = newSpaces(page)
		p.spaces[page].names = names
	}
	return p.spaces[page]
}

// station compares one label on one plate.
func (p *prover) station(ctx context.Context, of Ink, s Station, exact bool) error {
	size := image.Pt(int(s.Clip.Width()*p.perPoint)-2, int(s.Clip.Height()*p.perPoint)-2)
	if size.X < 1 || size.Y < 1 {
		return nil
	}
	sheet, err := p.sheet(ctx, of, s.Clip, exact)
	if err != nil {
		return err
	}
	defer sheet.Close()
	var worst float64
	var at image.Point
	var box artwork.Rect
	for try, offset := range offsets {
		// The first pixel lies within the clip, whose edge is no pixel's.
		left, top := s.Clip[0]+(1+offset[0])/p.perPoint, s.Clip[3]-(1+offset[1])/p.perPoint
		here := artwork.Rect{left, top - float64(size.Y)/p.perPoint, left + float64(size.X)/p.perPoint, top}
		want, err := p.artwork(ctx, of, s, size, here, fmt.Sprint(try, exact))
		if err != nil {
			return err
		}
		media := p.frame.Page.Boxes.Media
		got, err := sheet.GreyPart(ctx, size.X, size.Y, p.perPoint, left-media[0], media[3]-top)
		if err != nil {
			return err
		}
		by, where := p.farthest(want, got, size, here, s, of.Name, exact)
		if try == 0 || by < worst {
			worst, at, box = by, where, here
		}
		if worst <= pixelLimit {
			break
		}
	}
	p.note(worst, &PixelSpot{Lane: s.Lane, Row: s.Row, Ink: of.Name}, box, at)
	return nil
}

// artwork draws what a station must show on a plate; stations that show the
// same artwork the same way share it.
func (p *prover) artwork(ctx context.Context, of Ink, s Station, size image.Point, here artwork.Rect, try string) ([]byte, error) {
	// Half a nanometre tells places apart.
	near := func(v float64) int64 { return int64(math.Round(v * 1e6)) }
	key := fmt.Sprint(s.Page.File.Path, s.Page.Number, s.Turn, size, near(s.Trim[0]-here[0]), near(s.Trim[1]-here[1]), try)
	if drawn := p.drawn[key]; drawn != nil {
		return drawn, nil
	}
	b, err := newBuilder(ctx, s.Page, []Ink{of}, p.space(s.Page, p.frame.Names), &approximations{})
	if err != nil {
		return nil, err
	}
	b.silent = map[string]bool{}
	for _, k := range s.Page.Inks {
		name := k.Name
		if to := p.frame.Names[name]; to != "" {
			name = to
		}
		b.silent[name] = !contains(p.frame.Inks, name)
	}
	placed := p.placing(s)
	b.matrix, b.smallCells, b.noTiling = &placed, true, strings.HasSuffix(try, "true")
	pdf, err := b.build(here)
	if err != nil {
		return nil, err
	}
	sheet, err := p.r.Open(ctx, pdf)
	if err != nil {
		return nil, err
	}
	defer sheet.Close()
	drawn, err := sheet.GreyPart(ctx, size.X, size.Y, p.perPoint, 0, 0)
	if err == nil {
		p.drawn[key] = drawn
	}
	return drawn, err
}

func contains(list []string, name string) bool {
	for _, n := range list {
		if n == name {
			return true
		}
	}
	return false
}

// placing returns the matrix from an artwork's page to the frame's: its trim
// turned about its centre and laid on that of the station's.
func (p *prover) placing(s Station) artwork.Matrix {
	trim, turn := s.Trim, s.Turn
	media := p.frame.Page.Boxes.Media
	if p.frame.Mirrored { // placed at the mirrored place, turned the other way, and mirrored as a whole
		trim = artwork.Rect{media[0] + media[2] - s.Trim[2], s.Trim[1], media[0] + media[2] - s.Trim[0], s.Trim[3]}
		turn = 360 - turn
	}
	sin, cos := math.Sincos(float64(turn-s.Page.Rotate) * math.Pi / 180)
	sin, cos = math.Round(sin)*s.Page.UserUnit, math.Round(cos)*s.Page.UserUnit
	m := artwork.Matrix{cos, sin, -sin, cos, 0, 0}
	own := s.Page.Boxes.Trim
	x, y := m.Apply((own[0]+own[2])/2, (own[1]+own[3])/2)
	m[4], m[5] = (trim[0]+trim[2])/2-x, (trim[1]+trim[3])/2-y
	if p.frame.Mirrored {
		m = artwork.Matrix{-m[0], m[1], -m[2], m[3], media[0] + media[2] - m[4], m[5]}
	}
	return m
}

// farthest returns the largest difference and its pixel or, if it need not be
// exact, that of the means of squares. Where the engine itself paints, and beyond
// an outline, nothing is compared.
func (p *prover) farthest(want, got []byte, size image.Point, here artwork.Rect, s Station, ink string, exact bool) (float64, image.Point) {
	in := image.Rectangle{Max: size}
	if s.Outline { // an ellipse holds a rectangle of half its area; other outlines hold more
		margin := image.Pt(int(float64(size.X)*.15), int(float64(size.Y)*.15))
		in.Min, in.Max = in.Min.Add(margin), in.Max.Sub(margin)
	}
	side := 1
	if !exact {
		side = square
	}
	masks := p.masks(here, ink)
	worst, at := 0.0, image.Point{}
	for y := in.Min.Y; y+side <= in.Max.Y; y += side {
		for x := in.Min.X; x+side <= in.Max.X; x += side {
			sum := 0
			for v := y; v < y+side; v++ {
				for u := x; u < x+side; u++ {
					sum += int(want[v*size.X+u]) - int(got[v*size.X+u])
				}
			}
			d := math.Abs(float64(sum)) / float64(side*side)
			if d > worst && !p.engine(masks, here, image.Rect(x, y, x+side, y+side)) {
				worst, at = d, image.Pt(x+side/2, y+side/2)
			}
		}
	}
	return worst / 2.55, at
}

// engine reports whether the engine paints on some pixels of a part of the frame.
func (p *prover) engine(masks []image.Rectangle, here artwork.Rect, r image.Rectangle) bool {
	if !covered(masks, r) {
		return false
	}
	at := func(v int) float64 { return float64(v) / p.perPoint }
	return p.twins.paints(artwork.Rect{here[0] + at(r.Min.X), here[3] - at(r.Max.Y), here[0] + at(r.Max.X), here[3] - at(r.Min.Y)})
}

// square is the side of the squares whose means show a tiling pattern.
const square = 24

// masks are the boxes of pixels within which the engine paints on a plate.
func (p *prover) masks(here artwork.Rect, ink string) (list []image.Rectangle) {
	for _, d := range p.frame.Drawn {
		if !d.on(ink) || d.Box.Intersect(here).Empty() {
			continue
		}
		list = append(list, image.Rect(
			int(math.Floor((d.Box[0]-here[0])*p.perPoint))-1, int(math.Floor((here[3]-d.Box[3])*p.perPoint))-1,
			int(math.Ceil((d.Box[2]-here[0])*p.perPoint))+1, int(math.Ceil((here[3]-d.Box[1])*p.perPoint))+1))
	}
	return list
}

func covered(masks []image.Rectangle, r image.Rectangle) bool {
	for _, m := range masks {
		if m.Overlaps(r) {
			return true
		}
	}
	return false
}

// barest returns the stations in an order in which those come first on which the
// engine paints least: they show most of what the others have.
func (p *prover) barest(ink string) []Station {
	list := slices.Clone(p.frame.Stations)
	painted := func(s Station) int {
		n := 0
		for _, d := range p.frame.Drawn {
			if d.on(ink) && !d.Box.Intersect(s.Clip).Empty() {
				n++
			}
		}
		return n
	}
	slices.SortStableFunc(list, func(a, b Station) int { return painted(a) - painted(b) })
	return list
}

// note keeps the worst place.
func (p *prover) note(by float64, spot *PixelSpot, here artwork.Rect, at image.Point) {
	by = math.Round(by*100) / 100
	if by <= p.report.Worst {
		return
	}
	media := p.frame.Page.Boxes.Media
	const mm = 25.4 / 72
	x := here[0] - media[0] + (float64(at.X)+.5)/p.perPoint
	y := media[3] - here[3] + (float64(at.Y)+.5)/p.perPoint
	if p.frame.Mirrored {
		x = media.Width() - x
	}
	spot.AtMM = [2]float64{hundredths(x * mm), hundredths(y * mm)}
	p.report.Worst, p.report.WorstAt = by, spot
}
