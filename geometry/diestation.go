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
	Stroke Length // longest cut: of the bed, or of the circumference less what does not cut, which the maker states
	Gear   Gear   // of its cylinders; the zero Gear takes any
}

// Walk gives by how much print and a full-rotary tool drift apart with every
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
	if s.Stroke > 0 && (s.Kind == SemiRotary || s.Kind == FlatBed) {
		if reach := d.Advance() - d.gapAround(); reach > s.Stroke {
			out = append(out, Reason{CodeStationStroke, fmt.Sprintf("the die cuts %s around, the %s station's stroke is %s", reach, s.Kind, s.Stroke), ""})
		}
	}
	if s.Gear != (Gear{}) && d.Cylinder.Teeth > 0 && d.Cylinder.Gear != s.Gear {
		out = append(out, Reason{CodeStationGear, fmt.Sprintf("the die runs on a gear of %s, the %s station on %s", d.Cylinder.Gear, s.Kind, s.Gear), ""})
	}
	return out
}

// widestCut gives the widest cut of the stations that are made for the die; 0
// where there is none, or one whose width isn't known.
func widestCut(stations []DieStation, d *Die) Length {
	widest := Length(0)
	for _, s := range stations {
		switch {
		case s.Kind != d.Station || s.Gear != (Gear{}) && d.Cylinder.Teeth > 0 && d.Cylinder.Gear != s.Gear:
		case s.Width == 0:
			return 0
		default:
			widest = max(widest, s.Width)
		}
	}
	return widest
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
