package colour

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"go.yaml.in/yaml/v4"

	"quoin/impose/colour/cgats"
	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// House is what a printing house says once of its colours: what it tolerates,
// and what its spot colours are.
type House struct {
	Path       string     `yaml:"-"`
	Tolerances Tolerances `yaml:"tolerances"`
	Paper      []float64  `yaml:"paper"` // L*, a*, b*; none: the printing condition's
	Spots      []Spot     `yaml:"spots"`
}

// Spot is an ink whose colour the house knows; a process ink may be one.
type Spot struct {
	Name      string    `yaml:"name"`
	Lab       []float64 `yaml:"lab"`
	Spectrum  *Spectrum `yaml:"spectrum"`
	Tolerance float64   `yaml:"tolerance"` // CIEDE2000; 0: the tolerances' own
	Source    string    `yaml:"source"`    // where the value comes from

	aim cielab.Lab
}

// Spectrum is a reflectance curve of a house file, as factors of 0 to 1.
type Spectrum struct {
	First  int       `yaml:"first"` // nm
	Step   int       `yaml:"step"`  // nm
	Values []float64 `yaml:"values"`
}

// Tolerances are limits; a value beyond one is out of tolerance. Differences
// are CIEDE2000, tone values percentage points.
type Tolerances struct {
	ProcessSolid  float64 `yaml:"process-solid" json:"process_solid"`      // against the aim
	ProcessRun    float64 `yaml:"process-run" json:"process_run"`          // within the run, from its mean
	SpotSolid     float64 `yaml:"spot-solid" json:"spot_solid"`            // against the aim
	SpotRun       float64 `yaml:"spot-run" json:"spot_run"`                // within the run, from its mean
	Paper         float64 `yaml:"paper" json:"paper"`                      // against the aim
	Overprint     float64 `yaml:"overprint" json:"overprint"`              // against the aim
	ToneValue     float64 `yaml:"tone-value" json:"tone_value"`            // against the aim
	MidtoneSpread float64 `yaml:"midtone-spread" json:"midtone_spread"`    // of the deviations of C, M and Y
	Grey          float64 `yaml:"grey" json:"grey"`                        // in a* and b*, from paper scaled with lightness
	Opacity       float64 `yaml:"opacity" json:"opacity"`                  // least, in percent; 0: not judged
	Sides         float64 `yaml:"sides" json:"sides"`                      // left against right, and lane against the mean
	DriftTone     float64 `yaml:"drift-tone" json:"drift_tone"`            // least that is called a drift
	DriftSolid    float64 `yaml:"drift-solid" json:"drift_solid"`          // least that is called a drift
	LookFrom      float64 `yaml:"look-from" json:"look_from_percent"`      // percent of a tolerance from which to look
	InkLimit      float64 `yaml:"ink-limit" json:"ink_limit_percent"`      // most ink of a build
	NearestBuild  float64 `yaml:"nearest-build" json:"nearest_build_de00"` // a build further off is no advice
}

// DefaultTolerances are common practice, no source: put the house's own in
// their place.
func DefaultTolerances() Tolerances {
	return Tolerances{
		ProcessSolid: 5, ProcessRun: 3.5, SpotSolid: 3.5, SpotRun: 2, Paper: 3, Overprint: 6,
		ToneValue: 4, MidtoneSpread: 5, Grey: 3, Sides: 2, DriftTone: 1, DriftSolid: 1,
		LookFrom: 80, InkLimit: 300, NearestBuild: 3.5,
	}
}

// maxHouse bounds a house file.
const maxHouse = 8 << 20

// ReadHouse reads a house file: YAML with tolerances and spots. What is wrong
// with it is a *cgats.Error.
func ReadHouse(path string) (*House, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the house file: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxHouse+1))
	if err != nil {
		return nil, fmt.Errorf("the house file: %w", err)
	}
	return ParseHouse(path, data)
}

// ParseHouse is ReadHouse from a file's bytes; the path is for messages.
func ParseHouse(path string, data []byte) (*House, error) {
	h := &House{Path: path, Tolerances: DefaultTolerances()}
	if len(data) > maxHouse {
		return nil, h.fault("the file is larger than %d MiB", maxHouse>>20)
	}
	d := yaml.NewDecoder(bytes.NewReader(data))
	d.KnownFields(true)
	if err := d.Decode(h); err != nil && !errors.Is(err, io.EOF) {
		return nil, h.fault("%s", strings.Join(strings.Fields(err.Error()), " "))
	}
	if err := h.check(); err != nil {
		return nil, err
	}
	return h, nil
}

func (h *House) fault(text string, args ...any) error {
	return &cgats.Error{Path: h.Path, Text: fmt.Sprintf(text, args...), Way: "samples/colour/house.yaml shows the form"}
}

// check finds what makes no sense, and settles the spots' aims.
func (h *House) check() error {
	t := h.Tolerances
	for _, v := range []struct {
		name  string
		value float64
	}{
		{"process-solid", t.ProcessSolid}, {"process-run", t.ProcessRun}, {"spot-solid", t.SpotSolid}, {"spot-run", t.SpotRun},
		{"paper", t.Paper}, {"overprint", t.Overprint}, {"tone-value", t.ToneValue}, {"midtone-spread", t.MidtoneSpread},
		{"grey", t.Grey}, {"sides", t.Sides}, {"drift-tone", t.DriftTone}, {"drift-solid", t.DriftSolid},
		{"look-from", t.LookFrom}, {"ink-limit", t.InkLimit}, {"nearest-build", t.NearestBuild},
	} {
		if !(v.value > 0) || math.IsInf(v.value, 0) {
			return h.fault("tolerances: %s: %g; it is a number above 0", v.name, v.value)
		}
	}
	if t.LookFrom > 100 {
		return h.fault("tolerances: look-from: %s %%; it is at most 100, the tolerance itself", say.Exact(t.LookFrom))
	}
	if !(t.Opacity >= 0 && t.Opacity <= 100) {
		return h.fault("tolerances: opacity: %g; it is a percentage", t.Opacity)
	}
	if h.Paper != nil {
		if _, err := labOf(h.Paper); err != nil {
			return h.fault("paper: %v", err)
		}
	}
	seen := map[string]bool{}
	for i := range h.Spots {
		s := &h.Spots[i]
		name := strings.TrimSpace(s.Name)
		switch {
		case name == "":
			return h.fault("spot %d has no name", i+1)
		case seen[plain(name)]:
			return h.fault("spot %q is given twice", name)
		case s.Tolerance < 0 || math.IsNaN(s.Tolerance):
			return h.fault("spot %q: a tolerance of %g", name, s.Tolerance)
		case strings.TrimSpace(s.Source) == "":
			return h.fault("spot %q: say under source where its value comes from", name)
		case (s.Lab == nil) == (s.Spectrum == nil):
			return h.fault("spot %q: it needs a lab or a spectrum, one of them", name)
		}
		seen[plain(name)] = true
		var err error
		if s.Lab != nil {
			s.aim, err = labOf(s.Lab)
		} else {
			var xyz cielab.XYZ
			xyz, err = cielab.Spectrum{First: s.Spectrum.First, Step: s.Spectrum.Step, Values: s.Spectrum.Values}.XYZ()
			s.aim = xyz.Lab()
		}
		if err != nil {
			return h.fault("spot %q: %v", name, err)
		}
	}
	return nil
}

func labOf(v []float64) (cielab.Lab, error) {
	if len(v) != 3 {
		return cielab.Lab{}, fmt.Errorf("%d numbers; L*, a* and b* are three", len(v))
	}
	c := cielab.Lab{L: v[0], A: v[1], B: v[2]}
	if !c.Valid() {
		return c, fmt.Errorf("it is no printed colour: L* %g, a* %g, b* %g", c.L, c.A, c.B)
	}
	return c, nil
}

// plain is a name as it is compared: in small letters, its spaces single.
func plain(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
