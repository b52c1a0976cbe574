package conform

import (
	"fmt"
	"slices"

	"quoin/impose/pdfobj"
)

// document checks what belongs to no page.
func document(doc *pdfobj.Document) (list []Breach) {
	breach := func(rule, format string, args ...any) {
		list = append(list, Breach{Rule: rule, Text: fmt.Sprintf(format, args...)})
	}
	catalog, trailer := doc.Catalog(), doc.Trailer()
	list = append(list, metadata(doc)...)
	if len(doc.Array(trailer["ID"])) != 2 {
		breach(Identity, "the file has no ID")
	}
	if doc.Encrypted() {
		breach(Identity, "the file is encrypted")
	}
	if v := doc.Version(); v > "1.6" {
		breach(Features, "the file says that it is PDF %s", v)
	}
	list = append(list, interaction(doc, catalog)...)
	list = append(list, layers(doc, catalog)...)
	views := doc.Dict(catalog["ViewerPreferences"])
	for _, key := range []pdfobj.Name{"ViewArea", "ViewClip", "PrintArea", "PrintClip"} {
		if box := doc.Name(views[key]); views[key] != nil && box != "MediaBox" && box != "BleedBox" {
			breach(Views, "%s is %s", key, box)
		}
	}
	return list
}

// intents checks the output intents and gives the space of the profile.
func intents(doc *pdfobj.Document) (space string, list []Breach) {
	var found pdfobj.Array
	for _, o := range doc.Array(doc.Catalog()["OutputIntents"]) {
		if doc.Name(doc.Dict(o)["S"]) == "GTS_PDFX" {
			found = append(found, o)
		}
	}
	switch len(found) {
	case 0:
		return "", []Breach{{Rule: Intent, Text: "there is no output intent for PDF/X"}}
	case 1:
		return Condition(doc, found[0])
	}
	space, list = Condition(doc, found[0])
	return space, append(list, Breach{Rule: Intent, Text: fmt.Sprintf("there are %d output intents for PDF/X", len(found))})
}

// interaction checks for what acts in a viewer.
func interaction(doc *pdfobj.Document, catalog pdfobj.Dict) (list []Breach) {
	for _, key := range []pdfobj.Name{"OpenAction", "AA", "AcroForm"} {
		o, _ := doc.Resolve(catalog[key])
		if _, destination := o.(pdfobj.Array); o != nil && !destination {
			list = append(list, Breach{Rule: Interaction, Text: fmt.Sprintf("the document has %s", key)})
		}
	}
	if doc.Dict(doc.Dict(catalog["Names"])["JavaScript"]) != nil {
		list = append(list, Breach{Rule: Interaction, Text: "the document has scripts"})
	}
	return list
}

// layers checks the sets of layer states (ISO 32000-1 8.11.4).
func layers(doc *pdfobj.Document, catalog pdfobj.Dict) (list []Breach) {
	if catalog["OCProperties"] == nil {
		return nil
	}
	breach := func(format string, args ...any) {
		list = append(list, Breach{Rule: Layers, Text: fmt.Sprintf(format, args...)})
	}
	properties := doc.Dict(catalog["OCProperties"])
	groups := doc.Array(properties["OCGs"])
	if groups == nil || doc.Dict(properties["D"]) == nil {
		breach("OCProperties lacks its layers or their states")
	}
	var names []string
	configs := append(pdfobj.Array{properties["D"]}, doc.Array(properties["Configs"])...)
	for i, o := range configs {
		config := doc.Dict(o)
		name := pdfobj.Text(doc, config["Name"])
		switch {
		case name == "":
			breach("set %d of layer states has no name", i+1)
		case slices.Contains(names, name):
			breach("two sets of layer states are called %q", name)
		}
		names = append(names, name)
		if config["AS"] != nil {
			breach("layers change their state by themselves")
		}
		if config["Order"] == nil && i > 0 {
			continue // the first one's order counts
		}
		listed := map[pdfobj.Ref]bool{}
		order(doc, config["Order"], listed, 0)
		for _, g := range groups {
			if ref, ok := g.(pdfobj.Ref); ok && !listed[ref] {
				list = append(list, Breach{Rule: Layers, Text: fmt.Sprintf("the layer %q is in no list that people see", pdfobj.Text(doc, doc.Dict(ref)["Name"])),
					Object: fmt.Sprintf("object %d", ref.Num)})
			}
		}
	}
	return list
}

// order gathers the layers that a nested list names.
func order(doc *pdfobj.Document, o pdfobj.Object, listed map[pdfobj.Ref]bool, depth int) {
	if depth > 32 {
		return
	}
	for _, e := range doc.Array(o) {
		if ref, ok := e.(pdfobj.Ref); ok {
			listed[ref] = true
		}
		order(doc, e, listed, depth+1)
	}
}
