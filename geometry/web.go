package geometry

// Web is the running material as the layout sees it.
type Web struct {
	Width      Length // full width of the material
	Edge       Length // unprintable, at each side
	TargetLane Length // kept inside each unprintable edge for targets and register marks
}

// Band returns the width that labels with their outer bleed may take.
func (w Web) Band() Length { return w.Width - 2*w.Margin() }

// BandOff returns what stays free of the band on both sides of a block that is
// shifted off the web's centre.
func (w Web) BandOff(shift Length) Length { return w.Band() - 2*max(shift, -shift) }

// Margin returns the width at each side that labels must stay out of.
func (w Web) Margin() Length { return w.Edge + w.TargetLane }
