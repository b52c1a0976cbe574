package verify

import (
	"maps"
	"math"
	"slices"

	"quoin/impose/pdfobj"
)

// cover proves that what is painted through a soft mask is masked by the
// artwork of its own station, choked as planned.
func (c *drawnCheck) cover(where string, d drawn, p painted, all []painted) {
	form, moves := c.maskOf(p.mask)
	own := false
	for _, label := range all {
		own = own || label.what == "label" && label.matrix.near(p.matrix) && c.masks(form, label.form)
	}
	if !own {
		c.differs(CoverShape, where, "a cover of the %s at %s doesn't follow the artwork there", d.Layer, c.plan.at(d.BoxPt))
		return
	}
	if d.ChokePt > 0 && len(moves) < 8 || d.ChokePt == 0 && len(moves) > 0 {
		c.differs(CoverShape, where, "a cover of the %s at %s is choked in %d directions", d.Layer, c.plan.at(d.BoxPt), len(moves))
		return
	}
	for _, m := range moves {
		if far := math.Hypot(m.x, m.y); math.Abs(far-d.ChokePt) > micrometre {
			c.differs(CoverShape, where, "a cover of the %s at %s is choked by %s mm, not %s mm", d.Layer, c.plan.at(d.BoxPt), mm(far), mm(d.ChokePt))
			return
		}
	}
}

// masks reports whether a form has the shape of a label's: it is the same, or where
// no cover is to stand under some inks, the same artwork with those silenced.
func (c *drawnCheck) masks(form, label pdfobj.Ref) bool {
	if len(c.plan.Written.Bare) == 0 {
		return form == label
	}
	key := [2]pdfobj.Ref{form, label}
	same, known := c.maskForms[key]
	if known {
		return same
	}
	quiet := *c.forms
	quiet.Result, quiet.renames = &Result{}, maps.Clone(c.forms.renames)
	for _, name := range c.plan.Written.Bare {
		quiet.renames[rawName(name)] = none
	}
	for a := range c.artworks {
		if !c.forms.shows(label, a) {
			continue
		}
		// What is proved of the label's own form says nothing of silenced inks.
		quiet.proved = slices.Clone(c.forms.proved)
		quiet.proved[a] = map[[2]pdfobj.Ref]bool{}
		same = same || quiet.compare(form, a, 1).found == 0
	}
	c.maskForms[key] = same
	return same
}

// near reports whether two matrices put a point within a metre of the origin at
// places less than a micrometre apart.
func (m matrix) near(n matrix) bool {
	const metre = 1000 * pointsPerMM
	for i := range m {
		limit := micrometre
		if i < 4 {
			limit /= metre
		}
		if math.Abs(m[i]-n[i]) > limit {
			return false
		}
	}
	return true
}

// maskOf returns the form whose alpha a soft mask is, or whose least alpha among
// copies of it that are moved; and the moves. Other masks have no form.
func (c *drawnCheck) maskOf(mask pdfobj.Dict) (form pdfobj.Ref, moves []point) {
	group := c.doc.Stream(mask["G"])
	if group == nil || mask["TR"] != nil {
		return form, nil
	}
	if c.doc.Name(mask["S"]) == "Alpha" {
		form, at := c.painting(group)
		if len(at) != 1 || at[0] != (point{}) {
			return pdfobj.Ref{}, nil
		}
		return form, nil
	}
	picture, moves := c.painting(group)
	grey := c.doc.Stream(picture)
	if grey == nil {
		return form, moves
	}
	for _, state := range c.doc.Dict(c.doc.Dict(grey.Dict["Resources"])["ExtGState"]) {
		if inner := c.doc.Dict(c.doc.Dict(state)["SMask"]); c.doc.Name(inner["S"]) == "Alpha" {
			form, _ = c.maskOf(inner)
		}
	}
	return form, moves
}

// painting returns the one form that a group paints, and where it is moved to
// each time.
func (c *drawnCheck) painting(group *pdfobj.Stream) (form pdfobj.Ref, at []point) {
	xobjects := c.doc.Dict(c.doc.Dict(group.Dict["Resources"])["XObject"])
	here := identity
	s := pdfobj.NewContentScanner(c.doc.Content(group))
	for s.Next() {
		switch op := s.Operation(); op.Operator {
		case "q", "Q":
			here = identity
		case "cm":
			here = matrix(numbers(op.Operands, 6)).then(here)
		case "Do":
			ref, _ := xobjects[pdfobj.NameAt(op.Operands, 0)].(pdfobj.Ref)
			if !form.IsZero() && ref != form || here[0] != 1 || here[1] != 0 || here[2] != 0 || here[3] != 1 {
				return pdfobj.Ref{}, nil
			}
			form, at = ref, append(at, point{here[4], here[5]})
		}
	}
	return form, at
}
