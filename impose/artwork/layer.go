package artwork

import (
	"slices"

	"quoin/impose/pdfobj"
)

// Layer is an optional content group, 8.11.2, that the page uses.
type Layer struct {
	Ref  pdfobj.Ref
	Name string
	On   bool // by the document's default configuration
	Step Step
}

// Step is a processing step of ISO 19593-1; empty for an ordinary layer.
type Step struct {
	Group string // Structural, White, Varnish, Dimensions, ...; custom ones occur
	Type  string // Cutting, Creasing, ...; not every group has types
}

// IsZero reports whether there is no processing step.
func (s Step) IsZero() bool { return s == Step{} }

// String returns "Structural/Cutting" or just the group.
func (s Step) String() string {
	if s.Type == "" {
		return s.Group
	}
	return s.Group + "/" + s.Type
}

// layerTable holds the layers of a document, 8.11.4.
type layerTable struct {
	doc    *pdfobj.Document
	groups map[pdfobj.Ref]*Layer
	order  []pdfobj.Ref
	// off holds layers that are on in the default configuration but that an
	// automatic state (8.11.4.4) would switch for printing, or the reverse.
	automatic map[pdfobj.Ref]bool
	// none: the document has no OCProperties, so that no reader looks at what
	// its content says of layers.
	none bool
}

func readLayers(doc *pdfobj.Document) *layerTable {
	t := &layerTable{doc: doc, groups: map[pdfobj.Ref]*Layer{}, automatic: map[pdfobj.Ref]bool{}}
	properties := doc.Dict(doc.Catalog()["OCProperties"])
	t.none = properties == nil
	config := doc.Dict(properties["D"])
	base := doc.Name(config["BaseState"]) != "OFF"
	for _, o := range doc.Array(properties["OCGs"]) {
		if ref, ok := o.(pdfobj.Ref); ok && t.groups[ref] == nil {
			t.add(ref, base)
		}
	}
	for _, o := range doc.Array(config["ON"]) {
		t.set(o, true)
	}
	for _, o := range doc.Array(config["OFF"]) {
		t.set(o, false)
	}
	for _, o := range doc.Array(config["AS"]) {
		t.readAutomatic(doc.Dict(o))
	}
	return t
}

func (t *layerTable) add(ref pdfobj.Ref, on bool) *Layer {
	dict := t.doc.Dict(ref)
	meta := t.doc.Dict(dict["GTS_Metadata"])
	l := &Layer{
		Ref:  ref,
		Name: pdfobj.Text(t.doc, dict["Name"]),
		On:   on,
		Step: Step{
			Group: t.doc.Name(meta["GTS_ProcStepsGroup"]).Text(),
			Type:  t.doc.Name(meta["GTS_ProcStepsType"]).Text(),
		},
	}
	t.groups[ref] = l
	t.order = append(t.order, ref)
	return l
}

func (t *layerTable) set(o pdfobj.Object, on bool) {
	if ref, ok := o.(pdfobj.Ref); ok && t.groups[ref] != nil {
		t.groups[ref].On = on
	}
}

// readAutomatic notes the layers whose state printing would change.
func (t *layerTable) readAutomatic(usage pdfobj.Dict) {
	if t.doc.Name(usage["Event"]) != "Print" {
		return
	}
	for _, o := range t.doc.Array(usage["OCGs"]) {
		ref, _ := o.(pdfobj.Ref)
		l := t.groups[ref]
		if l == nil {
			continue
		}
		state := t.doc.Name(t.doc.Dict(t.doc.Dict(t.doc.Dict(ref)["Usage"])["Print"])["PrintState"])
		if state == "ON" && !l.On || state == "OFF" && l.On {
			t.automatic[ref] = true
		}
	}
}

// maxExpression bounds a visibility expression, 8.11.2.2.
const maxExpression = 32

// visible reports whether content that belongs to o, a group or a membership
// dictionary, shows; and which groups it names. What is neither shows.
func (t *layerTable) visible(o pdfobj.Object) (shows bool, named []pdfobj.Ref) {
	if t.none {
		return true, nil
	}
	dict := t.doc.Dict(o)
	if t.doc.Name(dict["Type"]) != "OCMD" {
		ref, ok := o.(pdfobj.Ref)
		if !ok || dict == nil || t.groups[ref] == nil && t.doc.Name(dict["Type"]) != "OCG" {
			return true, nil // neither listed nor a group by its own word
		}
		return t.state(ref), []pdfobj.Ref{ref}
	}
	groups := t.doc.Array(dict["OCGs"])
	if groups == nil && dict["OCGs"] != nil {
		groups = pdfobj.Array{dict["OCGs"]}
	}
	on, off := 0, 0
	for _, g := range groups {
		ref, ok := g.(pdfobj.Ref)
		if !ok || t.doc.Dict(ref) == nil {
			continue // null entries count for nothing
		}
		named = append(named, ref)
		if t.state(ref) {
			on++
		} else {
			off++
		}
	}
	if ve := t.doc.Array(dict["VE"]); len(ve) > 0 {
		return t.expression(ve, &named, 0), named
	}
	if on+off == 0 {
		return true, named
	}
	switch t.doc.Name(dict["P"]) {
	case "AllOn":
		return off == 0, named
	case "AnyOff":
		return off > 0, named
	case "AllOff":
		return on == 0, named
	}
	return on > 0, named
}

func (t *layerTable) expression(list pdfobj.Array, named *[]pdfobj.Ref, depth int) bool {
	if depth > maxExpression || len(list) < 2 {
		return true
	}
	operand := func(o pdfobj.Object) bool {
		if inner := t.doc.Array(o); inner != nil {
			return t.expression(inner, named, depth+1)
		}
		ref, ok := o.(pdfobj.Ref)
		if !ok {
			return true
		}
		if !slices.Contains(*named, ref) {
			*named = append(*named, ref)
		}
		return t.state(ref)
	}
	switch t.doc.Name(list[0]) {
	case "Not":
		return !operand(list[1])
	case "Or":
		any := false
		for _, o := range list[1:] {
			any = operand(o) || any
		}
		return any
	case "And":
		all := true
		for _, o := range list[1:] {
			all = operand(o) && all
		}
		return all
	}
	return true
}

// state returns whether a group is on. A group that the document doesn't list
// in its OCProperties can't be switched, and shows.
func (t *layerTable) state(ref pdfobj.Ref) bool {
	if l := t.groups[ref]; l != nil {
		return l.On
	}
	return t.add(ref, true).On
}

// step returns the processing step of the first of the groups that has one.
func (t *layerTable) step(named []pdfobj.Ref) Step {
	for _, ref := range named {
		if l := t.groups[ref]; l != nil && !l.Step.IsZero() {
			return l.Step
		}
	}
	return Step{}
}

// Shows reports whether content that belongs to oc, an optional content group
// or a membership dictionary, prints by the document's default configuration.
// Nil shows.
func (p *Page) Shows(oc pdfobj.Object) bool {
	if oc == nil {
		return true
	}
	shows, _ := p.File.layers.visible(oc)
	return shows
}
