package artwork

import (
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// maxResources bounds the walk through the resources of one page.
const maxResources = 200_000

// present notes the inks of colour spaces that stand in the resources but
// that nothing paints: a RIP may make a plate for them all the same. It goes
// through forms, patterns, shadings, images and Type 3 fonts.
func (s *scan) present() {
	seen := map[pdfobj.Ref]bool{}
	todo := []pdfobj.Object{s.page.Dict["Resources"]}
	push := func(o pdfobj.Object) {
		if ref, ok := o.(pdfobj.Ref); ok {
			if seen[ref] {
				return
			}
			seen[ref] = true
		}
		if o != nil && len(todo) < maxResources {
			todo = append(todo, o)
		}
	}
	for _, a := range s.page.Appearances {
		push(a.Form)
	}
	for left := maxResources; len(todo) > 0 && left > 0; left-- {
		d := s.doc.Dict(todo[len(todo)-1])
		todo = todo[:len(todo)-1]
		// d is a resource dictionary, or something with resources or a
		// colour space of its own.
		push(d["Resources"])
		push(d["Shading"])
		sc := newScope(d, nil)
		if spaces, ok := s.resolved(d["ColorSpace"]).(pdfobj.Dict); ok {
			for _, key := range spaces.Keys() {
				spaceOf(s, spaces[key], sc, false, 0).raise(Present)
			}
		} else if d["ColorSpace"] != nil {
			spaceOf(s, d["ColorSpace"], sc, false, 0).raise(Present)
		}
		for _, category := range []pdfobj.Name{"XObject", "Pattern", "Shading", "Font"} {
			list, _ := s.resolved(d[category]).(pdfobj.Dict)
			for _, key := range list.Keys() {
				push(list[key])
			}
		}
	}
}

func (s *scan) resolved(o pdfobj.Object) pdfobj.Object {
	v, _ := s.doc.Resolve(o)
	return v
}

// raise notes of the space's inks that they have come this far at least.
func (sp *space) raise(state State) {
	for sp.family == indexedSpace || sp.family == patternSpace && sp.base != nil {
		sp = sp.base
	}
	if sp.family != spotSpace {
		return
	}
	for _, u := range sp.inks {
		if u == nil {
			continue
		}
		to := state
		if ink.IsProcess(u.name) {
			to = Present // its plate is made in any case
		}
		if rank[to] > rank[u.state] {
			u.state = to
		}
	}
}
