package colour

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"quoin/impose/colour/cgats"
	"quoin/impose/say"
)

// PressRun is what a summary says of a run, as far as colour needs it. Only the keys
// that are used here are read.
type PressRun struct {
	Path   string `json:"-"`
	Schema string `json:"schema"`
	Job    string `json:"job"`
	Layout struct {
		WebMM    float64 `json:"web_mm"`
		RepeatMM float64 `json:"repeat_mm"`
	} `json:"layout"`
	Run struct {
		Frames       int64   `json:"frames"`
		WebGrossM    float64 `json:"web_gross_m"`
		SpeedMPerMin float64 `json:"speed_m_per_min"`
		PrintingInks int     `json:"printing_inks"`
	} `json:"run"`
	Inks     []Ink `json:"inks"`
	Artworks []struct {
		Artwork int    `json:"artwork"`
		File    string `json:"file"`
		Path    string `json:"path"`
		Page    int    `json:"page"`
	} `json:"artworks"`
	Targets []Patch `json:"targets"`
	Written *struct {
		Intent *struct {
			Artwork int `json:"artwork"`
		} `json:"output_intent"`
	} `json:"written"`

	byName   map[string]*Patch // the first of a name, as plain has it
	byNumber map[int]*Patch
}

// Ink is one ink of the job.
type Ink struct {
	Name string `json:"name"`
	Kind string `json:"kind"` // process, spot, white, varnish or technical
}

// Tint is an amount of one ink.
type Tint struct {
	Ink     string  `json:"ink"`
	Percent float64 `json:"tint_percent"`
}

// Patch is one target of the frame.
type Patch struct {
	Number int        `json:"number"`
	What   string     `json:"what"` // paper, bare, solid, tint, grey or overprint
	Tints  []Tint     `json:"inks"`
	Side   string     `json:"side"`           // left or right; lane in the matrix
	Lane   int        `json:"lane,omitempty"` // whose own patch it is, first is 1; 0 in the margins
	Box    [4]float64 `json:"box_mm"`         // left, leading, right, trailing

	base  string // the white that the whole patch stands on, and is judged with
	above int    // where in its tints that begins which stands on it
	Name  string `json:"-"`
}

const (
	summarySchema = "quoin/summary/1"
	maxSummary    = 256 << 20
)

// ReadRun reads a run's summary. One that can't be used is a *cgats.Error.
func ReadRun(path string) (*PressRun, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, &say.Refusal{Text: "the summary", Err: err, Way: "name the one that quoin impose --summary wrote, or that lies beside a night's run"}
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxSummary+1))
	if err != nil {
		return nil, fmt.Errorf("the summary: %w", err)
	}
	return ParseRun(path, data)
}

// ParseRun is ReadRun from a file's bytes; the path is for messages.
func ParseRun(path string, data []byte) (*PressRun, error) {
	const way = "name the file that quoin impose wrote with --summary or printed with --json"
	r := &PressRun{Path: path}
	if err := json.Unmarshal(data, r); err != nil {
		return nil, &cgats.Error{Path: path, Text: fmt.Sprintf("it is no summary: %v", err), Way: way}
	}
	switch {
	case r.Schema != summarySchema:
		return nil, &cgats.Error{Path: path, Text: fmt.Sprintf("it is a %q, not a %q", r.Schema, summarySchema), Way: way}
	case len(r.Targets) == 0:
		return nil, &cgats.Error{Path: path, Text: "the run has no targets", Way: "impose with targets, in a target lane that has room for them"}
	case !(r.Layout.RepeatMM > 0):
		return nil, &cgats.Error{Path: path, Text: "the run has no repeat", Way: way}
	}
	r.byName, r.byNumber = map[string]*Patch{}, map[int]*Patch{}
	for i := range r.Targets {
		p := &r.Targets[i]
		if p.Number < 1 || !(p.Box[2] > p.Box[0] && p.Box[3] > p.Box[1]) {
			return nil, &cgats.Error{Path: path, Text: fmt.Sprintf("target %d has no number or no size", i+1), Way: way}
		}
		r.settle(p)
		r.byNumber[p.Number] = p
		if name := plain(p.Name); r.byName[name] == nil {
			r.byName[name] = p
		}
	}
	return r, nil
}

// settle names a patch, and finds the white that it stands on.
func (r *PressRun) settle(p *Patch) {
	shown := p.Tints
	// Whites at the beginning are the base, unless the patch shows a white itself.
	for len(shown) > 0 && r.kind(shown[0].Ink) == "white" && shown[0].Percent == 100 && (p.What == "paper" || len(shown) > 1 && r.kind(p.measured().Ink) != "white") {
		if p.base == "" {
			p.base = shown[0].Ink
		}
		shown = shown[1:]
	}
	p.above = len(p.Tints) - len(shown)
	var words []string
	for _, t := range shown {
		w := t.Ink
		if t.Percent != 100 {
			w += " " + say.Plain(t.Percent, 2) + " %"
		}
		words = append(words, w)
	}
	switch {
	case len(words) == 0:
		p.Name = p.What
	case p.What == "grey":
		p.Name = "grey"
		for i, t := range shown {
			p.Name += string(" /"[min(i, 1)]) + say.Plain(t.Percent, 2)
		}
	case len(words) == 2 && r.kind(shown[1].Ink) == "white": // white over black, to see its opacity
		p.Name = words[1] + " over " + words[0]
	default:
		p.Name = strings.Join(words, " + ")
	}
	if p.base != "" {
		p.Name += " on " + p.base
	}
}

// kind returns an ink's kind, "" for one that the run lacks.
func (r *PressRun) kind(name string) string {
	for _, i := range r.Inks {
		if i.Name == name {
			return i.Kind
		}
	}
	return ""
}

// shown returns what is printed on the patch above its white.
func (p *Patch) shown() []Tint { return p.Tints[p.above:] }

// measured returns the ink that a solid or a tint shows, and how much of it.
func (p *Patch) measured() Tint {
	if len(p.Tints) == 0 {
		return Tint{}
	}
	return p.Tints[len(p.Tints)-1]
}

// overInk reports whether the patch shows an ink over another that is not its
// white: white over black.
func (p *Patch) overInk() bool {
	return (p.What == "solid" || p.What == "tint") && len(p.shown()) > 1
}

// Aperture returns the largest opening of an instrument that fits the patch, in
// mm: half a millimetre is left on each side for what the instrument may miss
// its middle (common practice, no source).
func (p *Patch) Aperture() float64 {
	return math.Max(0, math.Min(p.Box[2]-p.Box[0], p.Box[3]-p.Box[1])-1)
}

// cmyk returns the device values of a patch of process inks only, as parts.
func (p *Patch) cmyk() ([4]float64, bool) {
	var v [4]float64
	for _, t := range p.shown() {
		i := process(t.Ink)
		if i < 0 {
			return v, false
		}
		v[i] = t.Percent / 100
	}
	return v, true
}

// process returns a process ink's place in CMYK, -1 for another ink.
func process(name string) int {
	for i, p := range [4]string{"Cyan", "Magenta", "Yellow", "Black"} {
		if name == p {
			return i
		}
	}
	return -1
}
