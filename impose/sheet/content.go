package sheet

import (
	"path/filepath"
	"strings"

	"quoin/geometry"
	"quoin/impose"
)

// Content is what a sheet says: the summary, and what else the people at the
// machines ask for.
type Content struct {
	*impose.Summary
	Press    string
	Material []string // name, kind and caliper, as far as they are known
	Shape    string   // of the label, with its corners
	Printing []Ink    // in the order of the file's separations
	Silent   []Ink    // seen in the artworks, never printed
	Marks    []string // each mark or target in words
	Splices  string   // whether a finished roll may be spliced
	Mirrored bool     // print on the back of clear film
	Drug     bool     // a label of the run is a drug label
	// Placed says which artwork stands where: by lane and row, first is 0; -1
	// is blank.
	Placed [][]int
}

// Ink is an ink with its kind.
type Ink struct{ Name, Kind string }

// From gathers the content from an imposition. The summary should be taken
// once all files are written, so that it names them.
func From(im *impose.Imposition, s *impose.Summary) *Content {
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
		c.Material = append(c.Material, number(m.Caliper.MM()*1000)+" µm")
	}
	c.Shape = shape(im)
	for _, e := range im.Inks.Inks {
		if e.Prints() {
			c.Printing = append(c.Printing, Ink{e.Name, string(e.Kind)})
		} else {
			c.Silent = append(c.Silent, Ink{e.Name, string(e.Kind)})
		}
	}
	for _, a := range im.Job.Artworks {
		c.Drug = c.Drug || a.DrugLabel
	}
	c.Placed = make([][]int, im.Layout.Across)
	for i, st := range im.Layout.Station {
		c.Placed[st.Lane-1] = append(c.Placed[st.Lane-1], im.Places[i])
	}
	return c
}

func shape(im *impose.Imposition) string {
	s := im.Job.Shape
	if s == "" {
		s = geometry.ShapeRectangle
	}
	text := string(s)
	if r := im.Job.Radius; s == geometry.ShapeRectangle && r != nil {
		text += ", corners " + r.String()
	}
	return text
}

func splices(im *impose.Imposition) string {
	switch s := im.Job.Roll.Splices; {
	case s == nil:
		return "not said: ask"
	case *s:
		return "allowed"
	}
	return "NOT allowed"
}

// letter names a product: A, B ... Z, AA. Lanes have the numbers.
func letter(artwork int) string {
	if artwork < 1 {
		return "–"
	}
	text := ""
	for ; artwork > 0; artwork = (artwork - 1) / 26 {
		text = string(rune('A'+(artwork-1)%26)) + text
	}
	return text
}

// product gives the name of an artwork as people call it.
func product(a impose.ArtworkPart) string {
	if a.Product != "" {
		return a.Product
	}
	base := filepath.Base(a.File)
	return strings.TrimSuffix(base, filepath.Ext(base))
}
