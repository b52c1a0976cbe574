package geometry

import (
	"fmt"
	"math"
)

// Plate is a flexographic plate of a unit in line, as for varnish.
type Plate struct {
	Thickness Length // whole
	Backing   Length // of it that doesn't stretch; common practice, no source
}

// Distortion returns what the plate's artwork is scaled by around the cylinder,
// so that it prints at its true length once the plate is bent: (R - K) / R with
// K = 2 pi t, R the repeat and t the thickness that stretches. Source:
// nvpublications.com, Can you explain a little about plate distortion, stretch
// factors. It is a number for the plate maker; digital artwork is never scaled.
func (p Plate) Distortion(repeat Length) (factor float64, err error) {
	if p.Thickness < 0 || p.Backing < 0 || p.Backing > p.Thickness {
		return 0, &hintError{fmt.Sprintf("a plate of %s on a backing of %s is impossible", p.Thickness, p.Backing),
			"give the whole thickness, and the backing as a part of it"}
	}
	k := p.stretch()
	if repeat <= 0 || k >= float64(repeat) {
		return 0, &hintError{fmt.Sprintf("a plate of %s goes around no repeat of %s", p.Thickness, repeat),
			fmt.Sprintf("the repeat is longer than %s", roundFloat(k))}
	}
	return (float64(repeat) - k) / float64(repeat), nil
}

func (p Plate) stretch() float64 { return 2 * math.Pi * float64(p.Thickness-p.Backing) }
