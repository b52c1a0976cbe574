package verify

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"quoin/impose/pdfobj"
	"quoin/impose/say"
)

// Expected is what a summary says of the file, as far as it can be proved. Only
// the keys that are used here are read; positions are points of the page.
type Expected struct {
	Schema string
	Inks   []struct {
		Name, Kind string
		Idle       bool // nothing is drawn in it
	}
	Artworks []struct {
		File, Path  string
		Page        int
		PermittedBy string `json:"permitted_by"`
		Winding     *winding
	}
	Winding *winding
	Lanes   []struct {
		Lane    int
		TurnDeg *int `json:"turn_deg"` // nil: as all lanes, or several
	}
	Layout struct {
		RepeatMM      float64 `json:"repeat_mm"`
		GapAcrossMM   float64 `json:"gap_across_mm"`
		GapAroundMM   float64 `json:"gap_around_mm"`
		MatrixPercent float64 `json:"matrix_percent"`
	}
	Cut      *Cut // nil for rectangles
	Stations []Station
	Seam     []Station // those across the seam, painted once more
	Targets  []Target
	Files    []struct{ Role, Path, SHA256 string }
	Written  *Written

	onFrame int // stations before those that are painted once more
}

// Station is where a label stands.
type Station struct {
	Lane, Row int
	TurnDeg   int `json:"turn_deg"`
	Artwork   string
	Page      int
	TrimPt    box    `json:"trim_pt"`
	ClipPt    box    `json:"clip_pt"`
	ClipShape string `json:"clip_shape"` // outline, or empty for the box itself
	ClipPath  *trace `json:"clip_path"`  // of an outline
}

// Target is a colour patch.
type Target struct {
	Number int
	What   string
	Inks   []tint
	BoxPt  box `json:"box_pt"`
}

// trace tells one path from another: the number of its points and the sum of
// them all, where the n-th counts 1 + n mod 7 times.
type trace struct {
	Points int
	SumPt  [2]float64 `json:"sum_pt"`
}

func (t *trace) add(p point) {
	weight := float64(1 + t.Points%7)
	t.Points++
	t.SumPt[0] += weight * p.x
	t.SumPt[1] += weight * p.y
}

// is reports whether a path is the planned one. Files round each point to five
// decimals, so that a sum may be off by at most 7 x 0.000005 points for each: a
// path of 80 points that has one moved by a micrometre is still another.
func (t *trace) is(planned *trace) bool {
	off := 4e-5 * float64(t.Points+1)
	return planned == nil || t.Points == planned.Points &&
		math.Abs(t.SumPt[0]-planned.SumPt[0]) <= off && math.Abs(t.SumPt[1]-planned.SumPt[1]) <= off
}

// tint is an amount of an ink.
type tint struct {
	Ink     string
	Percent float64 `json:"tint_percent"`
}

// Written is what the file holds beside stations and targets.
type Written struct {
	Pages      int
	Mirrored   bool
	SizePt     [2]float64 `json:"size_pt"`
	Marker     string
	BlendSpace *struct{ Artwork int } `json:"blend_space"`
	Intent     *struct {
		Artwork   int
		Condition string
		Profile   string `json:"profile_sha256"`
	} `json:"output_intent"`
	Layers []struct {
		Artwork int
		Name    string
		On      bool
	}
	Renames []struct{ From, To string }
	Shared  []struct {
		Ink     string
		Artwork int
	} `json:"shared_spaces"`
	Bare       []string `json:"bare_inks"`
	EyeTrackPt *box     `json:"eye_track_pt"`
	Drawn      []drawn
}

// Marker returns the marker that the summary says the file carries; "" for none.
func (p *Expected) Marker() string {
	if p.Written == nil {
		return ""
	}
	return p.Written.Marker
}

// drawn is one thing that the engine draws.
type drawn struct {
	Layer, What string
	BoxPt       box     `json:"box_pt"`
	LinePt      float64 `json:"line_pt"`
	ChokePt     float64 `json:"choke_pt"`
	Inks        []tint
	Overprint   bool
	Eye, Under  bool
	Matrix      bool // may lie on bleed, never on a trim
	Path        *trace
}

// understood is the form of summary that is read here.
const understood = "quoin/summary/1"

// maxPlan bounds a summary.
const maxPlan = 256 << 20

// ReadExpected reads the summary of an imposition.
func ReadExpected(path string) (*Expected, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the summary: %w", err)
	}
	defer f.Close()
	return ParseExpected(path, f)
}

// again is the way out where a file is no summary that can be proved against.
const again = "name the file that quoin impose wrote with --summary or printed with --json"

// ParseExpected is ReadExpected from a stream; the path is for messages. A summary that
// lacks a key, or has one that its JSON Schema doesn't know, is refused.
func ParseExpected(path string, r io.Reader) (*Expected, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxPlan))
	if err != nil {
		return nil, fmt.Errorf("the summary: %w", err)
	}
	p, err := ParseOwn(path, bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	if err := keepsForm(text); err != nil {
		return nil, &say.Refusal{Kind: say.BadFile, Way: again, Text: path, Err: fmt.Errorf("not as quoin writes it: %w", err)}
	}
	return p, nil
}

// ParseOwn is ParseExpected of a summary that the caller has just made and nobody else
// could change: its form is not looked at, which takes longer than proving a small
// file.
func ParseOwn(path string, r io.Reader) (*Expected, error) {
	var p Expected
	d := json.NewDecoder(r)
	err := d.Decode(&p)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("something follows its end")
		}
	}
	if err != nil {
		return nil, &say.Refusal{Kind: say.BadFile, Way: again, Text: path, Err: fmt.Errorf("not the JSON of a summary: %w", err)}
	}
	if p.Schema != understood {
		return nil, &say.Refusal{Kind: say.BadFile, Way: again, Text: path, Err: fmt.Errorf("its schema is %q, not %q", p.Schema, understood)}
	}
	if p.Written == nil {
		return nil, &say.Refusal{Kind: say.BadFile, Way: "impose without -n and keep the summary of that run", Text: path, Err: errors.New("it is of a plan only, without a written file")}
	}
	p.onFrame = len(p.Stations)
	p.Stations = append(p.Stations, p.Seam...)
	p.cutToPage()
	for _, s := range p.Stations {
		if p.artwork(s) < 0 {
			return nil, &say.Refusal{Kind: say.BadFile, Way: again, Text: path, Err: fmt.Errorf("lane %d, row %d: the artwork %s, page %d, is not among its artworks", s.Lane, s.Row, s.Artwork, s.Page)}
		}
	}
	if err := p.wound(); err != nil {
		return nil, &say.Refusal{Kind: say.BadFile, Way: again, Text: path, Err: err}
	}
	n := len(p.Artworks)
	w := p.Written
	bad := w.BlendSpace != nil && (w.BlendSpace.Artwork < 1 || w.BlendSpace.Artwork > n) ||
		w.Intent != nil && (w.Intent.Artwork < 0 || w.Intent.Artwork > n)
	for _, s := range w.Shared {
		bad = bad || s.Artwork < 1 || s.Artwork > n
	}
	if bad {
		return nil, &say.Refusal{Kind: say.BadFile, Way: again, Text: path, Err: fmt.Errorf("it names an artwork beyond its %d", n)}
	}
	return &p, nil
}

// cutToPage leaves of what reaches over the frame's seam the part that the page
// shows: no more can be seen in the file.
func (p *Expected) cutToPage() {
	page := box{0, 0, p.Written.SizePt[0], p.Written.SizePt[1]}
	for i := range p.Stations {
		p.Stations[i].ClipPt = p.Stations[i].ClipPt.intersect(page)
	}
	for i := range p.Written.Drawn {
		p.Written.Drawn[i].BoxPt = p.Written.Drawn[i].BoxPt.intersect(page)
	}
}

// artwork returns the index of a station's artwork, or -1.
func (p *Expected) artwork(s Station) int {
	for i, a := range p.Artworks {
		if a.File == s.Artwork && a.Page == s.Page {
			return i
		}
	}
	return -1
}

// sum returns the SHA-256 that the summary has of a file, or "".
func (p *Expected) sum(role, path string) string {
	for _, f := range p.Files {
		if f.Role == role && (path == "" || f.Path == path) {
			return f.SHA256
		}
	}
	return ""
}

// rawName returns the bytes of a name as the summary spells it: #xx is a byte.
func rawName(s string) pdfobj.Name {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '#' && i+2 < len(s) {
			if c, err := hex.DecodeString(s[i+1 : i+3]); err == nil {
				b.Write(c)
				i += 2
				continue
			}
		}
		b.WriteByte(s[i])
	}
	return pdfobj.Name(b.String())
}
