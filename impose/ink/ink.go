// Package ink holds the words for inks: what an ink is called, what kind it is
// and how it looks on a screen. It knows neither artworks nor presses.
package ink

// Kind tells what an ink is for.
type Kind string

// The kinds of ink. All but technical take a station on the press.
const (
	Process   Kind = "process"   // cyan, magenta, yellow, black
	Spot      Kind = "spot"      // a colour of its own
	White     Kind = "white"     // opaque white under or over the colours
	Varnish   Kind = "varnish"   // clear
	Technical Kind = "technical" // die lines and the like: seen, never printed
)

// Prints reports whether inks of the kind occupy a station.
func (k Kind) Prints() bool { return k != Technical }

// Names of the process inks, as PDF's Separation and DeviceN name them
// (ISO 32000-1 8.6.6.4 and 8.6.6.5).
const (
	Cyan    = "Cyan"
	Magenta = "Magenta"
	Yellow  = "Yellow"
	Black   = "Black"
)

// ProcessNames holds the process inks in the order of DeviceCMYK.
var ProcessNames = [4]string{Cyan, Magenta, Yellow, Black}

// IsProcess reports whether the name is one of the four process inks.
func IsProcess(name string) bool {
	for _, p := range ProcessNames {
		if p == name {
			return true
		}
	}
	return false
}

// Ink is one ink of a job.
type Ink struct {
	Name string
	Kind Kind
	// CMYK is the look of the full ink, each 0 to 1: the alternate colour that
	// screens and proofs show. It never decides what the press prints.
	CMYK [4]float64
}
