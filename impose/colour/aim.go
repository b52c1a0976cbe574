package colour

import (
	"fmt"
	"math"

	"quoin/impose/colour/cgats"
	"quoin/impose/colour/cielab"
	"quoin/impose/colour/profile"
)

// Aim is what a patch should be.
type Aim struct {
	Lab       cielab.Lab
	Source    string  // where the value comes from, for people
	Tolerance float64 // a spot's own; 0 for the house's
}

// Aims knows where aims come from: first the house's spots, then spectra that
// the artworks carry, then a characterisation table, then a profile.
type Aims struct {
	House   *House
	Spectra map[string]cielab.Spectrum // solids by ink name, as artworks carry them
	Profile *profile.Profile           // of the printing condition; nil for none
	From    string                     // what to call the profile
	table   map[[4]float64]cielab.Lab
	tabled  string // what to call the table
}

// UseTable takes a characterisation table: device values of CMYK with colours.
func (a *Aims) UseTable(path string) error {
	tables, err := cgats.Read(path)
	if err != nil {
		return err
	}
	a.table, a.tabled = map[[4]float64]cielab.Lab{}, path
	for _, t := range tables {
		samples, err := t.Samples()
		if err != nil {
			return err
		}
		if d := t.Header("DESCRIPTOR", "FILE_DESCRIPTOR"); d != "" {
			a.tabled = fmt.Sprintf("%s (%s)", path, d)
		}
		for _, s := range samples {
			if s.CMYK == nil {
				return &cgats.Error{Path: path, Line: s.Line, Text: "the table has no CMYK_C, CMYK_M, CMYK_Y, CMYK_K", Way: "name a characterisation table of a printing condition"}
			}
			a.table[*s.CMYK] = s.Lab
		}
	}
	return nil
}

// Of returns a patch's aim; ok is false where nothing says one. Tints of a spot
// have none: their tone value's aim is what the file says (ISO 20654).
func (a *Aims) Of(r *PressRun, p *Patch) (aim Aim, ok bool) {
	shown := p.shown()
	if p.What == "bare" || p.overInk() {
		return Aim{}, false
	}
	if len(shown) == 0 {
		if p.base != "" && !a.housePaper() { // a printing condition's paper is no aim for a white
			return Aim{}, false
		}
		return a.paper()
	}
	if len(shown) == 1 && shown[0].Percent == 100 {
		if aim, ok := a.solid(shown[0].Ink); ok {
			return aim, true
		}
	}
	if len(shown) == 1 && r.kind(shown[0].Ink) == "white" && shown[0].Percent == 100 {
		return Aim{}, false
	}
	if v, all := p.cmyk(); all {
		return a.device(v)
	}
	return Aim{}, false
}

func (a *Aims) housePaper() bool { return a.House != nil && a.House.Paper != nil }

func (a *Aims) paper() (Aim, bool) {
	if a.housePaper() {
		lab, _ := labOf(a.House.Paper)
		return Aim{Lab: lab, Source: a.House.Path}, true
	}
	return a.device([4]float64{})
}

// solid looks an ink up where solids have names.
func (a *Aims) solid(ink string) (Aim, bool) {
	if a.House != nil {
		for _, s := range a.House.Spots {
			if plain(s.Name) == plain(ink) {
				return Aim{s.aim, s.Source, s.Tolerance}, true
			}
		}
	}
	if s, ok := a.Spectra[ink]; ok {
		if xyz, err := s.XYZ(); err == nil {
			return Aim{Lab: xyz.Lab(), Source: "the artwork's spectrum"}, true
		}
	}
	return Aim{}, false
}

// device returns what the printing condition makes of process inks, 0 to 1.
func (a *Aims) device(v [4]float64) (Aim, bool) {
	if lab, ok := a.tableLab(v); ok {
		return Aim{Lab: lab, Source: a.tabled}, true
	}
	if a.Profile == nil || a.Profile.Space != "CMYK" {
		return Aim{}, false
	}
	lab, err := a.Profile.Lab(v[:])
	if err != nil {
		return Aim{}, false
	}
	return Aim{Lab: lab, Source: a.From}, true
}

// tableLab looks device values up, or interpolates where only one ink prints
// between two of its tints in the table.
func (a *Aims) tableLab(v [4]float64) (cielab.Lab, bool) {
	var key [4]float64
	ink := -1
	for i := range v {
		key[i] = math.Round(v[i]*1e4) / 100
		if key[i] > 0 {
			if ink >= 0 {
				ink = 4 // several
			} else {
				ink = i
			}
		}
	}
	if lab, ok := a.table[key]; ok {
		return lab, true
	}
	if ink < 0 || ink > 3 {
		return cielab.Lab{}, false
	}
	low, high := math.Inf(-1), math.Inf(1)
	for have := range a.table {
		if have[0]+have[1]+have[2]+have[3] != have[ink] {
			continue
		}
		if have[ink] < key[ink] {
			low = math.Max(low, have[ink])
		} else {
			high = math.Min(high, have[ink])
		}
	}
	if math.IsInf(low, 0) || math.IsInf(high, 0) || high-low > 25 {
		return cielab.Lab{}, false
	}
	from, to := key, key
	from[ink], to[ink] = low, high
	x, y := a.table[from].XYZ(), a.table[to].XYZ()
	part := (key[ink] - low) / (high - low)
	return cielab.XYZ{X: x.X + part*(y.X-x.X), Y: x.Y + part*(y.Y-x.Y), Z: x.Z + part*(y.Z-x.Z)}.Lab(), true
}
