package artwork

import "quoin/impose/pdfobj"

// scope is the resources that names in a content stream are looked up in,
// 7.8.3. What has been looked up is kept: content asks for the same few names
// again and again.
type scope struct {
	resources pdfobj.Dict
	parent    *scope // for a form without resources of its own: the caller's

	spaces   map[pdfobj.Name]*space
	states   map[pdfobj.Name]*stateChange
	fonts    map[pdfobj.Name]*fontUse
	patterns map[pdfobj.Name]*patternUse
}

func newScope(resources pdfobj.Dict, parent *scope) *scope {
	return &scope{
		resources: resources, parent: parent,
		spaces:   map[pdfobj.Name]*space{},
		states:   map[pdfobj.Name]*stateChange{},
		fonts:    map[pdfobj.Name]*fontUse{},
		patterns: map[pdfobj.Name]*patternUse{},
	}
}

// find gives a resource of a category, as the file has it; nil if there is
// none. It may be asked of a nil scope.
func (sc *scope) find(doc *pdfobj.Document, category, name pdfobj.Name) pdfobj.Object {
	for at := sc; at != nil; at = at.parent {
		if o := doc.Dict(at.resources[category])[name]; o != nil {
			return o
		}
	}
	return nil
}

// remember gives what made makes of a name, made once.
func remember[T any](known map[pdfobj.Name]T, name pdfobj.Name, made func() T) T {
	if v, ok := known[name]; ok {
		return v
	}
	v := made()
	if len(known) < maxRemembered {
		known[name] = v
	}
	return v
}

// maxRemembered bounds what one scope keeps of one category.
const maxRemembered = 4096
