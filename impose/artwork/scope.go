package artwork

import "quoin/impose/pdfobj"

// scope is the resources that names in a content stream are looked up in,
// 7.8.3. What has been looked up is kept: content asks for the same few names
// again and again.
type scope struct {
	resources pdfobj.Dict
	object    pdfobj.Object // the resources as the file names them
	holder    pdfobj.Ref    // the object that is or has them; zero for the page's own
	parent    *scope        // for a form without resources of its own: the caller's
	needs     *bool         // set once such a form takes something of the caller's

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

// find returns a resource of a category, as the file has it; nil if there is
// none. It may be asked of a nil scope.
func (sc *scope) find(doc *pdfobj.Document, category, name pdfobj.Name) pdfobj.Object {
	for at := sc; at != nil; at = at.parent {
		if o := doc.Dict(at.resources[category])[name]; o != nil {
			if at != sc && sc.needs != nil {
				*sc.needs = true
			}
			return o
		}
	}
	return nil
}

// lentTo returns the scope of something without resources of its own.
func (sc *scope) lentTo(b *borrower) *scope {
	if b != nil && sc.resources == nil {
		sc.needs = &b.needs
	}
	return sc
}

// borrower is something without resources.
type borrower struct {
	from   *scope // whose it takes
	needs  bool   // it takes something
	differ string // what it is, where it is used with those of others too
}

// owner returns the scope whose resources these are: of something without any,
// that of whoever uses it, at any depth.
func (sc *scope) owner() *scope {
	for sc.parent != nil {
		sc = sc.parent
	}
	return sc
}

// resource finds a resource that content names. One that is nowhere is told:
// viewers leave out what needs it, or take something else.
func (s *scan) resource(sc *scope, category, name pdfobj.Name) pdfobj.Object {
	o := sc.find(s.doc, category, name)
	what := nouns[category]
	ref, isRef := o.(pdfobj.Ref)
	switch {
	case what == "":
	case o == nil:
		s.found.add(ResourceMissing, objectName(s.in), "the content uses %s %q, which no resources name: what needs it is missing or looks otherwise", what, name.Text())
	case isRef && s.resolved(o) == nil:
		s.found.add(ObjectLost, objectName(ref), "%s %q is not in the file, and the content uses it", what, name.Text())
	}
	return o
}

var nouns = map[pdfobj.Name]string{
	"Font": "the font", "XObject": "the form or image", "ColorSpace": "the colour space", "Pattern": "the pattern",
	"Shading": "the shading", "ExtGState": "the graphics state",
}

// remember returns what made makes of a name, made once.
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
