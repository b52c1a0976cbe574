package vary

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/data"
	"quoin/impose/draw"
	"quoin/impose/say"
)

// field is a field with what it needs to be set.
type field struct {
	Field
	content
	paint   draw.Paint
	ink     *data.Template // of a field whose ink the records name; nil for others
	paints  []draw.Paint   // by Inks
	size    barcode.Size   // of a symbol
	modules barcode.Extent // of the largest symbol
}

func (r *Run) addField(f Field) error {
	added, err := r.newField(f, r.plan.Records.Names)
	if err != nil {
		return err
	}
	if len(added.values()) == 0 {
		r.Warnings.Add(CodeFixed, "field %s names no column and no counter: every label says %q", f.Name, say.Clip(string(added.sample()), 80))
	}
	r.fields = append(r.fields, added)
	return nil
}

// newField checks a field that shows values of the names given.
func (r *Run) newField(f Field, names []string) (*field, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	c, err := newContent(&f, names)
	if err != nil {
		return nil, fieldFault(f.Name, "", err)
	}
	added := &field{Field: f, content: *c, paint: f.paint()}
	if f.Inks != nil {
		if added.ink, err = data.ParseTemplate(f.Ink, names); err != nil {
			return nil, fieldFault(f.Name, "", err)
		}
		for _, name := range f.Inks {
			added.paints = append(added.paints, r.painted(&f, name))
		}
	}
	if f.Letters != nil {
		added.paint = r.painted(&f, f.Ink)
	}
	if f.Picture != nil {
		return added, nil
	}
	if f.Symbol != nil {
		size, warnings, err := f.Symbol.Kind.Fit(f.Symbol.Wish)
		if err != nil {
			return nil, fieldFault(f.Name, "", err)
		}
		added.size = size
		for _, w := range warnings {
			r.Warnings.Add(w.Code, "field %s: %s", f.Name, w.Text)
		}
	} else if _, err := f.Letters.Face.face(); err != nil && len(f.Letters.Fonts) == 0 {
		return nil, fieldFault(f.Name, "write regular, bold or mono", err)
	}
	return added, nil
}

// painted returns the paint of letters in an ink, which take the whites beneath
// them along.
func (r *Run) painted(f *Field, ink string) draw.Paint {
	named := *f
	named.Ink = ink
	p := named.paint()
	for _, white := range r.plan.Under {
		p.Tints = append(p.Tints, draw.Tint{Ink: white, Amount: 1})
	}
	return p
}

// checkPlaces refuses fields that leave the label or lie on one another: a
// symbol's quiet zone belongs to it. It warns of bars across the web.
func (r *Run) checkPlaces(fields fieldSet) error {
	if len(r.stations) == 0 {
		return errNoLane
	}
	label := r.stations[0].upright()
	whole := geometry.BoxAt(geometry.Position{}, label)
	for i, f := range fields {
		box := f.box(f.modules)
		if !whole.Contains(box) {
			return fieldFault(f.Name, "move it, or make it smaller; the quiet zone of a symbol must be on the label too", fmt.Errorf("it takes %s from %s across and %s down, which is beyond the label of %s", box.Size(), box.Min.Across, box.Min.Around, label))
		}
		for _, g := range fields[:i] {
			if box.Overlaps(g.box(g.modules)) {
				return fieldFault(f.Name, "move one of them; nothing may be in the quiet zone of a symbol", fmt.Errorf("it lies on the field %s", g.Name))
			}
		}
		if f.Symbol == nil {
			continue
		}
		for _, s := range r.stations {
			if w, bad := f.size.Direction(s.Turn.Plus(f.Turn)); bad {
				r.Warnings.Add(w.Code, "field %s: %s", f.Name, w.Text)
			}
		}
	}
	return nil
}

// box returns what the field takes of the upright label.
func (f *field) box(modules barcode.Extent) geometry.Box {
	var size geometry.Size
	if f.Symbol != nil {
		size = f.size.Outer(modules)
	} else if f.Picture != nil {
		size = geometry.Size{Across: f.Picture.Width, Around: f.Picture.Height}
	} else {
		size = geometry.Size{Across: f.Letters.Width, Around: max(f.Letters.Cap, f.Letters.Box)}
	}
	if f.Turn.Swaps() {
		size.Across, size.Around = size.Around, size.Across
	}
	return geometry.BoxAt(f.At, size)
}
