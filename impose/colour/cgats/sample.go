package cgats

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"

	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// Sample is one row's colour and what it says of where and when.
type Sample struct {
	Line     int
	ID, Name string
	Lab      cielab.Lab
	CMYK     *[4]float64 // device values in percent; nil where the table has none
	Place    *[2]float64 // across and around in mm; nil where the table has none
	Frame    *float64    // which repeat of the run, from 1
	Metre    *float64    // of the run
	Time     *time.Time
}

// Condition is what a table says of how it was measured.
type Condition struct {
	Instrument string `json:"instrument"`
	Measured   string `json:"condition"` // in the table's own words
	M          string `json:"m"`         // M0 to M3 of ISO 13655; "" unsaid
	Backing    string `json:"backing"`
}

var mode = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\bM[0-3]\b`) })

// Condition gathers the words of the header.
func (t *Table) Condition() Condition {
	var words []string
	for _, k := range []string{"MEASUREMENT_SOURCE", "MEASUREMENT_CONDITION", "ILLUMINANT", "OBSERVER", "MEASUREMENT_GEOMETRY", "FILTER"} {
		if v := t.Header(k); v != "" {
			words = append(words, v)
		}
	}
	c := Condition{Instrument: t.Header("INSTRUMENTATION", "INSTRUMENT"), Measured: strings.Join(words, ", "), Backing: t.Header("SAMPLE_BACKING")}
	c.M = mode().FindString(strings.Join(append(words, c.Instrument), " "))
	return c
}

// forms of spectral fields in use: SPECTRAL_NM380, SPECTRAL_380, SPEC_380,
// nm380.
var band = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(?:SPECTRAL_NM_?|SPECTRAL_|SPEC_|NM_?)(\d{3,4})$`) })

// Samples turns the rows into colours. What can't be a colour is an *Error with
// line and field.
func (t *Table) Samples() ([]Sample, error) {
	c := columns{table: t, lab: t.triple("LAB_L", "LAB_A", "LAB_B"), xyz: t.triple("XYZ_X", "XYZ_Y", "XYZ_Z")}
	if err := c.findBands(); err != nil {
		return nil, err
	}
	if c.lab == nil && c.xyz == nil && c.bands == nil {
		return nil, &Error{Path: t.Path, Text: "the table has no colour: neither LAB_L, LAB_A, LAB_B nor XYZ_X, XYZ_Y, XYZ_Z nor spectral fields",
			Way: "export the measurements with CIELAB or with spectra"}
	}
	if err := c.checkCondition(); err != nil {
		return nil, err
	}
	out := make([]Sample, 0, len(t.Rows))
	for _, row := range t.Rows {
		s, err := c.sample(row)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// triple returns three fields' places, nil unless the table has all.
func (t *Table) triple(names ...string) []int {
	var at []int
	for _, n := range names {
		i := t.Column(n)
		if i < 0 {
			return nil
		}
		at = append(at, i)
	}
	return at
}

// columns knows where a table's colours stand.
type columns struct {
	table     *Table
	lab, xyz  []int
	bands     []int // columns, by wavelength
	first, nm int   // of the bands: where they begin, how far apart
	scale     float64
}

func (c *columns) fault(row Row, field int, way, text string, args ...any) error {
	return &Error{Path: c.table.Path, Line: row.Line, Field: c.table.Fields[field], Text: fmt.Sprintf(text, args...), Way: way}
}

// findBands finds the spectral fields, and whether they are factors or percent.
func (c *columns) findBands() error {
	last := 0
	for i, f := range c.table.Fields {
		m := band().FindStringSubmatch(f)
		if m == nil {
			continue
		}
		nm, _ := strconv.Atoi(m[1])
		switch {
		case len(c.bands) == 0:
			c.first = nm
		case len(c.bands) == 1:
			c.nm = nm - last
		}
		if len(c.bands) > 0 && (nm <= last || nm-last != c.nm) {
			return &Error{Path: c.table.Path, Field: f, Text: fmt.Sprintf("the band at %d nm follows that at %d nm: they are not evenly spaced, or out of order", nm, last),
				Way: "export the spectra in bands of one width"}
		}
		c.bands, last = append(c.bands, i), nm
	}
	if len(c.bands) == 0 {
		return nil
	}
	return c.findScale()
}

// findScale tells factors of 0 to 1 from percent by the table's largest value,
// which is paper's in every strip.
func (c *columns) findScale() error {
	most := 0.0
	for _, row := range c.table.Rows {
		for _, at := range c.bands {
			v, err := c.number(row, at)
			if err != nil {
				return err
			}
			most = math.Max(most, v)
		}
	}
	norm, err := strconv.ParseFloat(c.table.Header("SPECTRAL_NORM"), 64)
	switch {
	case err == nil && norm > 0:
		c.scale = 1 / norm
	case most <= 1.5:
		c.scale = 1
	case most >= 5:
		c.scale = 0.01
	default:
		return &Error{Path: c.table.Path, Field: c.table.Fields[c.bands[0]], Text: fmt.Sprintf("the largest reflectance is %g: neither factors of 0 to 1 nor percent", most),
			Way: "say the scale with SPECTRAL_NORM, 1 or 100"}
	}
	return nil
}

// checkCondition refuses colours of another illuminant or observer, which only
// spectra can bring to D50 and 2 degrees.
func (c *columns) checkCondition() error {
	said := strings.ToUpper(c.table.Condition().Measured + " " + c.table.Header("WEIGHTING_FUNCTION"))
	for _, other := range []string{"D65", "D55", "D75", "ILLUMINANT A", "10 DEG", "10°", "1964"} {
		if !strings.Contains(said, other) || strings.Contains(said, "D50") && other[0] == 'D' {
			continue
		}
		if c.bands == nil {
			return &Error{Path: c.table.Path, Text: fmt.Sprintf("the colours are for %s, not for D50 and 2 degrees", other),
				Way: "export for D50 and 2 degrees (ISO 13655), or with spectra"}
		}
		c.lab, c.xyz = nil, nil // the spectra know better
	}
	return nil
}

// number reads a value; a comma may stand for the point.
func (c *columns) number(row Row, at int) (float64, error) {
	return c.table.number(row.Line, c.table.Fields[at], row.Values[at])
}

func (t *Table) number(line int, field, said string) (float64, error) {
	text := said
	if strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, &Error{Path: t.Path, Line: line, Field: field, Text: fmt.Sprintf("%q is no number", shown(said)), Way: "measure the patch again, or take the row out"}
	}
	return v, nil
}

func (c *columns) numbers(row Row, at []int) ([]float64, error) {
	out := make([]float64, len(at))
	for i, a := range at {
		v, err := c.number(row, a)
		if err != nil {
			return nil, err
		}
		out[i] = v
	}
	return out, nil
}

func (c *columns) sample(row Row) (s Sample, err error) {
	s.Line = row.Line
	if i := c.table.Column("SAMPLE_ID", "SAMPLEID", "SAMPLE_LOC"); i >= 0 {
		s.ID = strings.ToValidUTF8(row.Values[i], "?")
	}
	if i := c.table.Column("SAMPLE_NAME", "PATCH_NAME"); i >= 0 {
		s.Name = strings.ToValidUTF8(row.Values[i], "?")
	}
	if s.Lab, err = c.colour(row); err != nil {
		return s, err
	}
	if err := c.device(row, &s); err != nil {
		return s, err
	}
	return s, c.where(row, &s)
}

// colour takes CIELAB before XYZ before the spectrum, and holds them against
// each other where the table has several.
func (c *columns) colour(row Row) (cielab.Lab, error) {
	var found []cielab.Lab
	var at []int
	if c.lab != nil {
		v, err := c.numbers(row, c.lab)
		if err != nil {
			return cielab.Lab{}, err
		}
		found, at = append(found, cielab.Lab{L: v[0], A: v[1], B: v[2]}), append(at, c.lab[0])
	}
	if c.xyz != nil {
		v, err := c.numbers(row, c.xyz)
		if err != nil {
			return cielab.Lab{}, err
		}
		if v[0] < 0 || v[1] < 0 || v[2] < 0 {
			return cielab.Lab{}, c.fault(row, c.xyz[0], "measure the patch again, or take the row out", "XYZ of %g, %g, %g is no colour", v[0], v[1], v[2])
		}
		found, at = append(found, cielab.XYZ{X: v[0], Y: v[1], Z: v[2]}.Lab()), append(at, c.xyz[0])
	}
	if c.bands != nil {
		v, err := c.numbers(row, c.bands)
		if err != nil {
			return cielab.Lab{}, err
		}
		for i := range v {
			v[i] *= c.scale
		}
		xyz, err := cielab.Spectrum{First: c.first, Step: c.nm, Values: v}.XYZ()
		if err != nil {
			return cielab.Lab{}, c.fault(row, c.bands[0], "export the spectra again", "%v", err)
		}
		found, at = append(found, xyz.Lab()), append(at, c.bands[0])
	}
	if !found[0].Valid() {
		return cielab.Lab{}, c.fault(row, at[0], "measure the patch again, or take the row out", "L* %.1f, a* %.1f, b* %.1f is no printed colour", found[0].L, found[0].A, found[0].B)
	}
	for i, other := range found[1:] {
		if d := cielab.DE76(found[0], other); d > agree {
			return cielab.Lab{}, c.fault(row, at[i+1], "export both for D50 and 2 degrees, XYZ with a Y of 100 for white",
				"it says L* %.1f, a* %.1f, b* %.1f, but %s says L* %.1f: %.1f apart", other.L, other.A, other.B, c.table.Fields[at[0]], found[0].L, d)
		}
	}
	return found[0], nil
}

// agree is how far a row's CIELAB, XYZ and spectrum may stand apart before they
// can't be one reading: rounding to two decimals makes up to 0.6 in deep
// shadows, where XYZ are small; another illuminant makes 3 and more.
const agree = 2.0

func (c *columns) device(row Row, s *Sample) error {
	at := c.table.triple("CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K")
	if at == nil {
		return nil
	}
	v, err := c.numbers(row, at)
	if err != nil {
		return err
	}
	for i := range v {
		if v[i] < 0 || v[i] > 100 {
			return c.fault(row, at[i], "write device values in percent", "%s %% of an ink", say.Exact(v[i]))
		}
	}
	s.CMYK = &[4]float64{v[0], v[1], v[2], v[3]}
	return nil
}
