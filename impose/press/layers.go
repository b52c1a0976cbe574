package press

import (
	"fmt"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
)

// layers gathers the optional content of all artworks and of the engine. Their
// state lives in the catalog only (ISO 32000-1 8.11.4); a layer whose state is
// not carried over would print though the customer had switched it off.
type layers struct {
	out   *pdfobj.Writer
	all   pdfobj.Array // every group, in order
	off   pdfobj.Array
	order pdfobj.Array // nested by artwork, so that equal names stay apart
	steps map[draw.Layer]pdfobj.Ref
}

// take adds the layers of one artwork page.
func (l *layers) take(copier *pdfobj.Copier, file string, groups []artwork.Layer) error {
	var own pdfobj.Array
	for _, g := range groups {
		copied, err := copier.Copy(g.Ref)
		if err != nil {
			return fmt.Errorf("its layer %q: %w", g.Name, err)
		}
		if slices.Contains(l.all, copied) {
			continue // another page of the same file has it too
		}
		l.all = append(l.all, copied)
		own = append(own, copied)
		if !g.On {
			l.off = append(l.off, copied)
		}
	}
	if len(own) > 0 {
		l.order = append(l.order, textString(file), own)
	}
	return nil
}

// steps are the processing steps of ISO 19593-1 that the engine makes itself:
// finishing finds the die contour by its step and never prints it, and the
// press finds the white. Names from the Arlington PDF model's
// GTS_ProcStepsGroup.
var steps = map[draw.Layer]struct {
	name        string
	group, kind pdfobj.Name
}{
	draw.Cutting: {"Cutting", "Structural", "Cutting"},
	draw.White:   {"White", "White", ""},
	draw.Varnish: {"Varnish", "Varnish", ""},
	draw.DieLine: {"Die line", "Structural", "Cutting"},
}

// StepName names the layer that items of a layer of the frame stand on in the
// file, and says whether it is on; an empty name where they stand on none.
func StepName(layer draw.Layer) (name string, on bool) {
	return steps[layer].name, layer != draw.DieLine
}

// step returns the processing-step layer of an engine-made part of the frame, or
// nothing where the part has none.
func (l *layers) step(layer draw.Layer) (pdfobj.Object, error) {
	s, ok := steps[layer]
	if !ok {
		return nil, nil
	}
	if ref, ok := l.steps[layer]; ok {
		return ref, nil
	}
	metadata := pdfobj.Dict{"GTS_ProcStepsGroup": s.group}
	if s.kind != "" {
		metadata["GTS_ProcStepsType"] = s.kind
	}
	ref := l.out.Alloc()
	err := l.out.Put(ref, pdfobj.Dict{"Type": pdfobj.Name("OCG"), "Name": textString(s.name), "GTS_Metadata": metadata})
	l.steps[layer] = ref
	l.all = append(l.all, ref)
	if _, on := StepName(layer); !on {
		l.off = append(l.off, ref)
	}
	l.order = append(l.order, ref)
	return ref, err
}

// properties returns the catalog's OCProperties; nil when there are no layers.
// No automatic state (AS), which PDF/X-4 forbids; every group is in Order.
func (l *layers) properties() pdfobj.Object {
	if len(l.all) == 0 {
		return nil
	}
	config := pdfobj.Dict{"Name": textString("As approved"), "BaseState": pdfobj.Name("ON"), "Order": l.order}
	if len(l.off) > 0 {
		config["OFF"] = l.off
	}
	return pdfobj.Dict{"OCGs": l.all, "D": config}
}
