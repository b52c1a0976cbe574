package artwork

import (
	"io"
	"math"

	"quoin/geometry"
	"quoin/impose/ink"
	"quoin/impose/say"
)

// ReportSchema names the report's form; scripts check it. Keys may be added,
// never renamed or given another meaning.
const ReportSchema = "quoin/inspect/1"

// Report is what there is to say about an artwork: one struct for the text
// and the JSON.
type Report struct {
	Schema    string       `json:"schema"`
	File      string       `json:"file"`
	PDF       string       `json:"pdf_version"`
	PageCount int          `json:"page_count"`
	Pages     []PageReport `json:"pages"` // those asked for
}

// PageReport is one page as seen upright: Rotate and UserUnit are baked into
// all millimetres. Boxes are in the page's own units, as the file has them
// after the rules of ISO 32000-1 14.11.2.
type PageReport struct {
	Page         int             `json:"page"`
	TrimMM       [2]float64      `json:"trim_mm"` // across, around
	BleedMM      SidesReport     `json:"bleed_mm"`
	MediaMM      [2]float64      `json:"media_mm"`
	RotationDeg  int             `json:"rotation_deg"` // clockwise
	UserUnitPt   float64         `json:"user_unit_pt"`
	Boxes        []BoxReport     `json:"boxes"`
	Inks         []InkReport     `json:"inks"`
	Layers       []LayerReport   `json:"layers"`
	Fonts        []FontReport    `json:"fonts"`
	Images       []ImageReport   `json:"images"`
	Transparency bool            `json:"transparency"`
	Overprint    bool            `json:"overprint"`
	Annotations  int             `json:"printing_annotations"`
	Group        *GroupReport    `json:"group"`         // null if the page has none
	Intent       *IntentReport   `json:"output_intent"` // null if there is none
	DieLine      *DieLineReport  `json:"die_line"`      // null if none is drawn, or none that is clear
	Findings     []Finding       `json:"findings"`
	Coverage     *CoverageReport `json:"coverage,omitempty"` // where it was asked for
}

// SidesReport is the bleed of each side.
type SidesReport struct {
	Left   float64 `json:"left"`
	Right  float64 `json:"right"`
	Top    float64 `json:"top"`
	Bottom float64 `json:"bottom"`
}

// BoxReport is one of the page's five boxes.
type BoxReport struct {
	Box   string `json:"box"`
	Given bool   `json:"given"` // stated by the file; else the default
	Units Rect   `json:"units"` // left, bottom, right, top
}

// InkReport is one ink.
type InkReport struct {
	Name      string   `json:"name"`
	Kind      ink.Kind `json:"kind"`
	State     State    `json:"state"`
	Where     []string `json:"where"`
	Alternate string   `json:"alternate,omitempty"`
}

// LayerReport is one layer.
type LayerReport struct {
	Name  string `json:"name"`
	On    bool   `json:"on"`
	Group string `json:"step_group,omitempty"`
	Type  string `json:"step_type,omitempty"`
}

// FontReport is one font.
type FontReport struct {
	Name     string `json:"name"`
	Type     string `json:"type"`
	Embedded bool   `json:"embedded"`
	Subset   bool   `json:"subset"`
}

// ImageReport is one image at its lowest resolution.
type ImageReport struct {
	Name     string  `json:"name"`
	WidthPx  int     `json:"width_px"`
	HeightPx int     `json:"height_px"`
	PPI      float64 `json:"ppi"` // 0 if unknown
	Bits     int     `json:"bits"`
	Space    string  `json:"colour_space"`
	Filter   string  `json:"filter,omitempty"`
	Mask     bool    `json:"mask,omitempty"`
}

// GroupReport is the page's transparency group.
type GroupReport struct {
	Isolated bool   `json:"isolated"`
	Knockout bool   `json:"knockout"`
	Space    string `json:"colour_space,omitempty"`
}

// IntentReport is the output intent.
type IntentReport struct {
	Condition  string `json:"condition"`
	Info       string `json:"info,omitempty"`
	Space      string `json:"colour_space,omitempty"`
	Components int    `json:"components,omitempty"`
	SHA256     string `json:"profile_sha256,omitempty"`
}

// DieLineReport is the artwork's own die line.
type DieLineReport struct {
	SizeMM     [2]float64 `json:"size_mm"`           // across, around: of its box, upright
	OriginMM   [2]float64 `json:"origin_mm"`         // of its box, from the trim's leading left corner
	RadiusMM   *float64   `json:"corner_radius_mm"`  // null if it is no rectangle
	AreaMM2    float64    `json:"area_mm2"`          // holes taken out
	Step       string     `json:"step,omitempty"`    // the processing step that says so
	Layers     []string   `json:"layers,omitempty"`  // of the step
	Inks       []string   `json:"inks"`              // that it is drawn in
	Inner      int        `json:"inner_contours"`    // holes, or cuts of another step
	Apart      int        `json:"separate_contours"` // beside the largest
	Open       int        `json:"open_lines"`        // left out
	AgreesTrim bool       `json:"agrees_with_trim"`  // within 0.05 mm on every side
}

// Report inspects the pages with these numbers, or all of them when there are
// none. Its errors are those of Page.
func (f *File) Report(numbers ...int) (*Report, error) {
	if len(numbers) == 0 {
		for n := range f.pages {
			numbers = append(numbers, n+1)
		}
	}
	r := &Report{Schema: ReportSchema, File: f.Path, PDF: f.Doc.Version(), PageCount: f.pages, Pages: []PageReport{}}
	for _, n := range numbers {
		p, err := f.Page(n)
		if err != nil {
			return nil, err
		}
		r.Pages = append(r.Pages, p.Report())
	}
	return r, nil
}

// Report says what there is to say about the page.
func (p *Page) Report() PageReport {
	bleed := p.Bleed()
	r := PageReport{
		Page: p.Number, TrimMM: extent(p.Size()), MediaMM: extent(p.MediaSize()),
		BleedMM:     SidesReport{bleed.Left.MM(), bleed.Right.MM(), bleed.Top.MM(), bleed.Bottom.MM()},
		RotationDeg: p.Rotate, UserUnitPt: p.UserUnit,
		Boxes: []BoxReport{
			{"media", p.Boxes.Given.Media, p.Boxes.Media}, {"crop", p.Boxes.Given.Crop, p.Boxes.Crop},
			{"bleed", p.Boxes.Given.Bleed, p.Boxes.Bleed}, {"trim", p.Boxes.Given.Trim, p.Boxes.Trim},
			{"art", p.Boxes.Given.Art, p.Boxes.Art},
		},
		Inks: []InkReport{}, Layers: []LayerReport{}, Fonts: []FontReport{}, Images: []ImageReport{}, Findings: []Finding{},
		Transparency: p.Transparency, Overprint: p.Overprint, Annotations: len(p.Appearances),
	}
	for _, u := range p.Inks {
		r.Inks = append(r.Inks, u.report())
	}
	for _, l := range p.Layers {
		r.Layers = append(r.Layers, LayerReport{l.Name, l.On, l.Step.Group, l.Step.Type})
	}
	for _, f := range p.Fonts {
		r.Fonts = append(r.Fonts, FontReport{f.Name, f.Type, f.Embedded, f.Subset})
	}
	for _, i := range p.Images {
		r.Images = append(r.Images, ImageReport{i.Name, i.Width, i.Height, math.Round(i.PPI*10) / 10, i.Bits, i.Space, i.Filter, i.Mask})
	}
	r.Findings = append(r.Findings, p.Findings...)
	r.Group = p.groupReport()
	r.DieLine = p.dieLineReport()
	if i := p.OutputIntent; i != nil {
		r.Intent = &IntentReport{i.Condition, i.Info, i.Space, i.Components, i.SHA256}
	}
	return r
}

func (u Usage) report() InkReport {
	r := InkReport{Name: u.Name, Kind: u.Kind, State: u.State, Where: u.Where}
	if r.Where == nil {
		r.Where = []string{}
	}
	if u.Alternate.Space != "" && u.Kind != ink.Process {
		r.Alternate = u.Alternate.String()
	}
	return r
}

func (p *Page) groupReport() *GroupReport {
	if p.Group == nil {
		return nil
	}
	g := &GroupReport{}
	g.Isolated, _ = p.Doc.Bool(p.Group["I"])
	g.Knockout, _ = p.Doc.Bool(p.Group["K"])
	space := p.Group["CS"]
	if a := p.Doc.Array(space); len(a) > 0 {
		space = a[0]
	}
	g.Space = p.Doc.Name(space).Text()
	return g
}

func (p *Page) dieLineReport() *DieLineReport {
	d := p.dieLine
	if d == nil {
		return nil
	}
	start := d.Outline.Bounds().Min
	r := &DieLineReport{
		SizeMM: extent(d.Size()), OriginMM: [2]float64{whole(start.Across).MM(), whole(start.Around).MM()},
		AreaMM2: math.Round(d.Outline.Area()*1000) / 1000, Layers: d.Layers, Inks: append([]string{}, d.Inks...),
		Inner: d.Inner, Apart: d.Apart, Open: d.Open, AgreesTrim: d.OffTrim(p.Size()) <= geometry.DieTolerance,
	}
	if !d.Step.IsZero() {
		r.Step = d.Step.String()
	}
	if radius, ok := d.Outline.CornerRadius(geometry.DieTolerance); ok {
		mm := radius.MM()
		r.RadiusMM = &mm
	}
	return r
}

// Measured adds what the plates show to what is said of the page.
func (r *PageReport) Measured(c *CoverageReport) {
	r.Coverage = c
	r.Findings = append(r.Findings, c.Found...)
}

func extent(s geometry.Size) [2]float64 { return [2]float64{s.Across.MM(), s.Around.MM()} }

// JSON writes the report for scripts: indented, keys in a fixed order.
func (r *Report) JSON(w io.Writer) error {
	return say.JSON(w, r)
}

// Warnings counts the findings that are more than notices.
func (r *Report) Warnings() int {
	n := 0
	for i := range r.Pages {
		n += r.Pages[i].count(Warning) + r.Pages[i].count(Fault)
	}
	return n
}

func (r *PageReport) count(level Level) (n int) {
	for _, f := range r.Findings {
		if f.Level == level {
			n++
		}
	}
	return n
}
