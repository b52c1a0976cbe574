package geometry

import "fmt"

// StationKind is the kind of a die station, or of what a die is made for.
// Source of the principles: columbinelabel.com, Understanding die cutting
// tolerances in product label printing.
type StationKind string

// The kinds.
const (
	FullRotary StationKind = "full-rotary" // turns with the web: every frame is a whole number of its repeats
	SemiRotary StationKind = "semi-rotary" // the web steps back for each stroke
	FlatBed    StationKind = "flat-bed"    // the web stops for each stroke
	Laser      StationKind = "laser"       // cuts any grid
	NoTool     StationKind = ""            // not known yet: any straight grid
)

// DieStation is a machine's die station. Zero lengths are not checked.
type DieStation struct {
	Kind   StationKind
	Width  Length // widest cut
	Stroke Length // longest cut: of the bed, of the laser's field, or of the circumference less what does not cut, which the maker states
	Gear   Gear   // of its cylinders; the zero Gear takes any
}

// Walk returns by how much print and a full-rotary tool drift apart with every
// frame, and the whole number of repeats that comes nearest to the frame, at
// least one. It is 0 when the frame is a multiple. Plain geometry.
func Walk(frame, repeat Length) (repeats int, walk Length) {
	if repeat <= 0 {
		return 0, 0 // there is nothing to walk against
	}
	n := max((frame+repeat/2)/repeat, 1)
	off := frame - n*repeat
	return int(n), max(off, -off)
}

// takes lists why the station doesn't take the die.
func (s DieStation) takes(d *Die) []Reason {
	var out []Reason
	width := d.cutWidth()
	if d.free() {
		width = d.Size.Across // it cuts as many lanes as the station is wide
	}
	if s.Width > 0 && width > s.Width {
		r := Reason{CodeStationWidth, fmt.Sprintf("the die cuts %s across, the %s station %s", width, s.Kind, s.Width), ""}
		if n := LanesIn(s.Width, d.Size.Across, d.Gap.Across, 0); n > 0 {
			r.Nearest = fmt.Sprintf("a die of %s would fit", lanesOf(n))
		}
		out = append(out, r)
	}
	if reach := d.reach(); s.Stroke > 0 && reach > s.Stroke {
		r := Reason{CodeStationStroke, fmt.Sprintf("the die cuts %s around, the %s station's stroke is %s", reach, s.Kind, s.Stroke), ""}
		if n := LanesIn(s.Stroke, d.Size.Around, d.gaps(Size{}).Around, 0); n > 0 {
			r.Nearest = fmt.Sprintf("a die of %s would fit", rowsOf(n))
		}
		out = append(out, r)
	}
	if s.Gear != (Gear{}) && d.Cylinder.Teeth > 0 && d.Cylinder.Gear != s.Gear {
		out = append(out, Reason{CodeStationGear, fmt.Sprintf("the die runs on a gear of %s, the %s station on %s", d.Cylinder.Gear, s.Kind, s.Gear), ""})
	}
	return out
}

// widestCut gives the widest cut of the stations that are made for the die; 0
// where there is none, or one whose width isn't known.
func widestCut(stations []DieStation, d *Die) Length {
	return farthest(stations, d, func(s DieStation) Length { return s.Width })
}

// farthest gives the largest length of the stations that are made for the die.
func farthest(stations []DieStation, d *Die, of func(DieStation) Length) Length {
	most := Length(0)
	for _, s := range stations {
		switch {
		case s.Kind != d.Station || s.Gear != (Gear{}) && d.Cylinder.Teeth > 0 && d.Cylinder.Gear != s.Gear:
		case of(s) == 0:
			return 0
		default:
			most = max(most, of(s))
		}
	}
	return most
}

// apart gives the wish once with each of the stations that are made for a tool
// whose lanes and rows are free: the widest need not have the longest stroke.
func (w *Wish) apart(kind StationKind) []*Wish {
	var out []*Wish
	for _, s := range w.Stations {
		if s.Kind == kind {
			one := *w
			one.Stations = []DieStation{s}
			out = append(out, &one)
		}
	}
	if len(out) == 0 {
		return []*Wish{w}
	}
	return out
}

// stationReasons lists why no station takes the die: the reasons of the station
// of its kind that has the fewest.
func stationReasons(stations []DieStation, d *Die) []Reason {
	if len(stations) == 0 || d.Station == NoTool {
		return nil
	}
	best := []Reason{{CodeStationKind, fmt.Sprintf("the die is made for a %s station, there is none", d.Station), ""}}
	found := false
	for _, s := range stations {
		if s.Kind != d.Station {
			continue
		}
		if reasons := s.takes(d); !found || len(reasons) < len(best) {
			best, found = reasons, true
		}
	}
	return best
}
