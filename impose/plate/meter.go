package plate

import (
	"context"
	"sync"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/artwork"
	"quoin/impose/raster"
)

// meterDPI is the resolution at which ink use is measured: off by less than a
// thousandth of a label's area from 300 to the inch.
const meterDPI = 150

// Meter measures the ink of labels. Its renderer starts with the first label
// that the cache doesn't know. Several goroutines may use it, one after another.
type Meter struct {
	// Say tells a person of the renderer's first start, which takes a while.
	Say   func(string)
	Cache *Cache

	one      sync.Mutex
	renderer *raster.Renderer
}

// Measure returns the ink within an outline, as AreaIn does: an impose.InkMeter.
func (m *Meter) Measure(ctx context.Context, p *artwork.Page, outline [][]geometry.Position) (inks map[string]float64, painted float64, err error) {
	m.one.Lock()
	defer m.one.Unlock()
	if err := m.start(ctx); err != nil {
		return nil, 0, err
	}
	area, err := AreaIn(ctx, p, m.renderer, outline, Options{DPI: meterDPI, Cache: m.Cache})
	if err != nil {
		return nil, 0, err
	}
	return area.Inks, area.Painted, nil
}

// Coverage is the function of that name, with the meter's renderer.
func (m *Meter) Coverage(ctx context.Context, p *artwork.Page, opt CoverageOptions) (*artwork.CoverageReport, error) {
	m.one.Lock()
	defer m.one.Unlock()
	if err := m.start(ctx); err != nil {
		return nil, err
	}
	return Coverage(ctx, p, m.renderer, opt)
}

// Find returns what is wrong on the plates of a page: an impose.PlateLooker.
func (m *Meter) Find(ctx context.Context, p *artwork.Page, limit float64, fromCut geometry.Length, cut outline.Outline) ([]artwork.Finding, error) {
	c, err := m.Coverage(ctx, p, CoverageOptions{Limit: limit, FromCut: fromCut, Cut: cut, Cache: m.Cache})
	if err != nil {
		return nil, err
	}
	return c.Found, nil
}

func (m *Meter) start(ctx context.Context) (err error) {
	if m.renderer == nil {
		m.renderer, err = raster.New(ctx, m.Say)
	}
	return err
}

// Close ends the renderer.
func (m *Meter) Close() {
	if m.renderer != nil {
		m.renderer.Close()
	}
}
