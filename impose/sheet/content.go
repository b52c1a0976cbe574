package sheet

import (
	"cmp"
	"image"
	"path/filepath"
	"strings"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/contour"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/sheet/typeset"
	"quoin/impose/summary"
)

// Content is what a sheet says: the summary, and what else the people at the
// machines ask for.
type Content struct {
	*summary.Summary
	Press    string
	Material []string // name, kind and caliper, as far as they are known
	Shape    string   // of the label, with its corners
	Printing []Ink    // in the order in which they are printed
	Silent   []Ink    // seen in the artworks, never printed
	Marks    []string // each mark or target in words
	Splices  string   // whether a finished roll may be spliced
	Mirrored bool     // print on the back of clear film
	Drug     bool     // a label of the run is a drug label
	Stations []Station
	Remarks  []string      // on the order behind each artwork; none outside a night
	Pictures []image.Image // of each artwork, upright; none: the sheet goes without
}

// Station is a place where a label stands, on the printed face.
type Station struct {
	Lane    int               // first is 1
	Row     int               // first is 1
	Artwork int               // first is 1; 0 is blank
	Turn    int               // quarter turns counter-clockwise
	Box     typeset.Box       // of the trim, in mm
	Shape   [][]typeset.Point // its contours in mm; none: the box
}

// Ink is an ink with its kind.
type Ink struct{ Name, Kind string }

// From gathers the content from an imposition. The summary should be taken
// once all files are written, so that it names them.
func From(im *impose.Imposition, s *summary.Summary) *Content {
	c := &Content{Summary: s, Marks: marks(im), Splices: splices(im), Mirrored: im.Job.Mirror}
	if im.Job.Press != nil {
		c.Press = im.Job.Press.Name
	}
	m := im.Job.Material
	for _, text := range []string{m.Name, m.Kind} {
		if text != "" {
			c.Material = append(c.Material, text)
		}
	}
	if m.Caliper > 0 {
		c.Material = append(c.Material, say.Digits(m.Caliper.MM()*1000)+" µm")
	}
	c.Shape = shape(im)
	for _, k := range im.PrintingOrder() {
		c.Printing = append(c.Printing, Ink{k.Name, string(k.Kind)})
	}
	for _, e := range im.Inks.Inks {
		if e.TakesStation() && !e.Prints() {
			c.Printing = append(c.Printing, Ink{e.Name, "empty plate"})
		}
		if !e.TakesStation() {
			c.Silent = append(c.Silent, Ink{e.Name, string(e.Kind)})
		}
	}
	for _, a := range im.Job.Artworks {
		c.Drug = c.Drug || a.DrugLabel
	}
	for i, st := range im.Layout.Station {
		c.Stations = append(c.Stations, station(im, st, im.Places[i]+1))
	}
	return c
}

// station tells of a place; its shape where that is not plainly a rectangle. A
// mirrored label's would be mirrored too.
func station(im *impose.Imposition, st geometry.Station, artwork int) Station {
	b := st.Trim
	s := Station{Lane: st.Lane, Row: st.Row, Artwork: artwork, Turn: st.Turn.Degrees() / 90, Box: typeset.Box{
		X: b.Min.Across.MM(), Y: b.Min.Around.MM(), W: b.Size().Across.MM(), H: b.Size().Around.MM(),
	}}
	if im.Job.Mirror || im.CutOn(st).Area() == st.Trim.Size().Area() {
		return s
	}
	for _, contour := range contour.Placed(im.CutOn(st), st).Flatten(fine) {
		var points []typeset.Point
		for _, p := range contour {
			points = append(points, typeset.Point{X: p.Across.MM(), Y: p.Around.MM()})
		}
		s.Shape = append(s.Shape, points)
	}
	return s
}

// fine is how far a drawn contour may be off: less than a line is wide.
const fine = 50 * geometry.Micrometre

func shape(im *impose.Imposition) string {
	s := cmp.Or(im.Job.Shape, geometry.ShapeRectangle)
	text := string(s)
	if r := im.Job.Radius; s == geometry.ShapeRectangle && r != nil {
		text += ", corners " + r.String()
	}
	return text
}

// splices says whether finished rolls may be spliced, of each product where they
// differ.
func splices(im *impose.Imposition) string {
	j := im.Job
	if len(j.Artworks) == 0 {
		return spliceWord(j.Roll.Splices)
	}
	first := spliceWord(job.RollSplices(j, 0))
	var each []string
	differ := false
	for i := range j.Artworks {
		word := spliceWord(job.RollSplices(j, i))
		differ = differ || word != first
		each = append(each, letter(i+1)+" "+word)
	}
	if !differ {
		return first
	}
	return strings.Join(each, "; ")
}

func spliceWord(s *bool) string {
	switch {
	case s == nil:
		return "not said: ask"
	case *s:
		return "allowed"
	}
	return "NOT allowed"
}

// letter names a product: A, B ... Z, AA. Lanes have the numbers.
func letter(artwork int) string { return cmp.Or(say.Letter(artwork), "–") }

// product returns the name of an artwork as people call it.
func product(a summary.Artwork) string {
	if a.Product != "" {
		return a.Product
	}
	base := filepath.Base(a.File)
	return strings.TrimSuffix(base, filepath.Ext(base))
}
