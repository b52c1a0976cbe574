package geometry

import "slices"

// Wish is what a job wants of a die.
type Wish struct {
	Label      Size    // trim of the upright label
	Shape      Shape   // empty means rectangle
	Outline    string  // name of the contour, where the shape is an outline; empty takes any of the size
	Radius     Length  // of a rectangle's corners; AnyRadius takes any
	Area       float64 // mm2, of one label; 0 means as the shape says
	Bleed      Length
	Turns      []Turn // that the winding allows, the best liked first; none means Turn0
	Material   string // empty means any
	Stripping  Stripping
	EdgeMatrix Length // least matrix between the outermost cut and each edge of the web
	// UnusedLanes lets a die whose cutting field is wider than the web print on the
	// lanes that there is room for.
	UnusedLanes bool
	Webs        []Web        // that may be used, at least one
	Repeat      Repeat       // of the frame
	Stations    []DieStation // of the machine; none means that they are not checked
	Quantity    int64        // ordered labels; 0 ranks by the web for one label
	Terms       Terms
	Gap         Size       // wanted where no die says it: least gaps of a new tool or a laser
	Drawn       []DrawnCut // die lines of the artworks; a die that differs is warned of
	Match       Matcher    // compares lines that are in drawings; nil goes by the names of shapes and outlines
	Near        Length     // how far a die's size may be off to count as a near miss
}

// AnyRadius is the radius of a wish that takes any corners.
const AnyRadius Length = -1

// EdgeMatrix is the least matrix at each edge of the web that holds together
// while it is stripped: 3 to 5 mm are common practice, no source.
const EdgeMatrix = 3 * Millimetre

// request gives the request that the label of a die makes on a web.
func (w *Wish) request(web Web, label Size) *Request {
	return &Request{Web: web, Label: label, Gap: w.Gap, Bleed: w.Bleed, Repeat: w.Repeat}
}

// check refuses a wish that nothing could meet.
func (w *Wish) check() error {
	if len(w.Webs) == 0 {
		return &NotFitError{[]Reason{{CodeWeb, "there is no web to choose", "give at least one web"}}}
	}
	for _, web := range w.Webs {
		r := w.request(web, w.Label)
		r.Area = w.Area
		reasons := r.faults()
		if len(w.Webs) > 1 { // one web without a band takes nothing, but another may
			reasons = slices.DeleteFunc(reasons, func(r Reason) bool { return r.Code == "no-band" })
		}
		if len(reasons) > 0 {
			return &NotFitError{reasons}
		}
	}
	if w.EdgeMatrix < 0 || w.EdgeMatrix > LongestExtent {
		return &NotFitError{[]Reason{{CodeEdge, "the edge matrix is impossible", "it is 0mm or more"}}}
	}
	if w.Quantity < 0 || w.Quantity > mostOrdered {
		return &NotFitError{[]Reason{{CodeQuantity, "the quantity is impossible", "order 1 label or more; 0 ranks by the web for one label"}}}
	}
	return w.Terms.check()
}

var onlyTurn0 = []Turn{Turn0}

// turns gives the allowed turns.
func (w *Wish) turns() []Turn {
	if len(w.Turns) == 0 {
		return onlyTurn0
	}
	return w.Turns
}

// allows reports whether the winding allows the turn.
func (w *Wish) allows(t Turn) bool { return slices.Contains(w.turns(), t) }

// area gives the area of one label.
func (w *Wish) area() float64 {
	if w.Area > 0 {
		return w.Area
	}
	return w.Shape.Area(w.Label, max(w.Radius, 0))
}
