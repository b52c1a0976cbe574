package colour

import (
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"quoin/impose/colour/cgats"
	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// Reading is one measured colour of one patch.
type Reading struct {
	Patch *Patch
	Lab   cielab.Lab
	Frame int     // which repeat, counted from 0, that the metre lies in
	Metre float64 // of the run; 0 where nothing says it
}

// Readings is all that was measured of a run.
type Readings struct {
	List      []Reading
	Files     []Measured
	Unmatched []Unmatched
	Placed    bool // every reading has a metre
	Reckoned  bool // metres come from times at the planned speed
}

// Measured says how one table was measured.
type Measured struct {
	File string `json:"file"`
	cgats.Condition
	Readings int `json:"readings"` // matched
}

// Unmatched is a reading that belongs to no patch.
type Unmatched struct {
	File string `json:"file"`
	Line int    `json:"line"`
	ID   string `json:"id"`
	Name string `json:"name,omitempty"`
	Why  string `json:"why"`
}

// ReadMeasured reads measurements and finds the patch of each. Files that can't
// be read whole, or of which nothing matches, are errors.
func ReadMeasured(r *PressRun, paths []string) (*Readings, error) {
	all := &Readings{Placed: true}
	var timed []timedReading
	for _, path := range paths {
		tables, err := cgats.Read(path)
		if err != nil {
			return nil, err
		}
		before := len(all.List)
		for _, t := range tables {
			if t.Column(fieldSource) >= 0 && t.Condition().Instrument == "" {
				return nil, &cgats.Error{Path: path, Text: "it is the list of aims that --targets wrote, not what was measured",
					Way: "name the instrument's file; where it keeps our columns, its INSTRUMENTATION tells it apart"}
			}
			found, err := all.take(r, t)
			if err != nil {
				return nil, err
			}
			timed = append(timed, found...)
		}
		if len(all.List) == before {
			why := ""
			if n := len(all.Unmatched); n > 0 {
				why = ": " + all.Unmatched[n-1].Why
			}
			return nil, &cgats.Error{Path: path, Text: "no reading belongs to a patch of " + r.Path + why,
				Way: "measure with the table that --targets wrote, and keep its SAMPLE_ID"}
		}
	}
	all.reckon(r, timed)
	return all, nil
}

// timedReading is a reading that only a time places.
type timedReading struct {
	at   int // in the list
	time time.Time
}

// take matches a table's rows.
func (all *Readings) take(r *PressRun, t *cgats.Table) ([]timedReading, error) {
	samples, err := t.Samples()
	if err != nil {
		return nil, err
	}
	var timed []timedReading
	n := len(all.List)
	for _, s := range samples {
		p, why := r.match(s)
		if p == nil {
			all.Unmatched = append(all.Unmatched, Unmatched{filepath.Base(t.Path), s.Line, s.ID, s.Name, why})
			continue
		}
		m := Reading{Patch: p, Lab: s.Lab}
		switch {
		case s.Metre != nil:
			m.Metre = *s.Metre
		case s.Frame != nil:
			m.Metre = (math.Max(1, *s.Frame) - 0.5) * r.Layout.RepeatMM / 1000
		case s.Time != nil:
			timed = append(timed, timedReading{len(all.List), *s.Time})
		default:
			all.Placed = false
		}
		all.List = append(all.List, m)
	}
	all.Files = append(all.Files, Measured{filepath.Base(t.Path), t.Condition(), len(all.List) - n})
	return timed, nil
}

// reckon turns times into metres at the planned speed, the first reading's
// being the run's start, and metres into frames.
func (all *Readings) reckon(r *PressRun, timed []timedReading) {
	if len(timed) > 0 {
		all.Reckoned = true
		first := timed[0].time
		for _, t := range timed {
			if t.time.Before(first) {
				first = t.time
			}
		}
		for _, t := range timed {
			all.List[t.at].Metre = t.time.Sub(first).Minutes() * r.Run.SpeedMPerMin
		}
		all.Placed = all.Placed && r.Run.SpeedMPerMin > 0
	}
	for i := range all.List {
		all.List[i].Frame = int(all.List[i].Metre * 1000 / r.Layout.RepeatMM)
	}
}

// offPlace is how far beside its patch, in mm, a reading's place may be said.
const offPlace = 1.0

// match finds a row's patch: by its id, which name, place and device values
// must not contradict, by its place, or by its name. Without a patch, why says
// what is wrong.
func (r *PressRun) match(s cgats.Sample) (p *Patch, why string) {
	id := strings.TrimLeft(strings.TrimSpace(s.ID), "Pp")
	if n, err := strconv.Atoi(id); err == nil {
		p = r.byNumber[n]
		if p == nil && s.Place == nil && s.Name == "" {
			return nil, fmt.Sprintf("the run has no patch %d", n)
		}
	}
	if p != nil {
		return r.contradicted(p, s)
	}
	if s.Place != nil {
		if p := r.at(*s.Place); p != nil {
			return r.contradicted(p, s)
		}
		return nil, fmt.Sprintf("no patch stands at %s mm across and %s mm around", say.Fixed(s.Place[0], 1), say.Fixed(s.Place[1], 1))
	}
	for _, name := range []string{s.Name, s.ID} {
		if p := r.named(name); p != nil {
			return r.contradicted(p, s)
		}
	}
	if s.Name == "" && s.ID == "" {
		return nil, "the row has neither an id nor a name nor a place"
	}
	return nil, fmt.Sprintf("no patch has the id %q or the name %q", s.ID, s.Name)
}

// contradicted returns the patch, or why the row can't be its.
func (r *PressRun) contradicted(p *Patch, s cgats.Sample) (*Patch, string) {
	if other := r.named(s.Name); other != nil && other.Name != p.Name {
		return nil, fmt.Sprintf("its id is that of patch %d, %s, but its name is %q", p.Number, p.Name, s.Name)
	}
	if s.Place != nil && !p.holds(s.Place[0], math.Mod(s.Place[1], r.Layout.RepeatMM)) {
		return nil, fmt.Sprintf("its id is that of patch %d, but it was read %s mm across and %s mm around, beside it", p.Number, say.Fixed(s.Place[0], 1), say.Fixed(s.Place[1], 1))
	}
	if v, all := p.cmyk(); all && s.CMYK != nil {
		for i := range v {
			if math.Abs(100*v[i]-s.CMYK[i]) > 0.5 {
				return nil, fmt.Sprintf("its id is that of patch %d, %s, but its device values are others", p.Number, p.Name)
			}
		}
	}
	return p, ""
}

func (r *PressRun) named(name string) *Patch {
	if name == "" {
		return nil
	}
	return r.byName[plain(name)]
}

// at returns the patch at a place; frames follow each other without a gap.
func (r *PressRun) at(place [2]float64) *Patch {
	around := math.Mod(place[1], r.Layout.RepeatMM)
	for i := range r.Targets {
		b := r.Targets[i].Box
		if place[0] >= b[0] && place[0] <= b[2] && around >= b[1] && around <= b[3] {
			return &r.Targets[i]
		}
	}
	return nil
}

func (p *Patch) holds(across, around float64) bool {
	return across >= p.Box[0]-offPlace && across <= p.Box[2]+offPlace && around >= p.Box[1]-offPlace && around <= p.Box[3]+offPlace
}
