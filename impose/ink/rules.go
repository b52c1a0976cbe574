package ink

import (
	"maps"
	"slices"
)

// Rules are a job's wishes about inks; they overrule whatever an artwork says
// and whatever a name suggests. Technical, White, Varnish, Spot and Silence
// hold names as they are after Aliases; names are compared byte by byte.
type Rules struct {
	Aliases   map[string]string // name in the artwork -> name on the press
	Technical []string
	White     []string
	Varnish   []string
	Spot      []string // spots whose name suggests something else
	Silence   []string // painted nowhere, as a Separation named None
}

// Name returns the name on the press. Aliases don't chain.
func (r Rules) Name(name string) string {
	if to, ok := r.Aliases[name]; ok {
		return to
	}
	return name
}

// Kind returns the kind of the ink with this name on the press. said is what
// the artwork's processing steps say of it (see StepKind), "" if nothing. The
// job's rules come first, then the name of a process ink, the processing
// steps, and last what the words of the name suggest.
func (r Rules) Kind(name string, said Kind) Kind {
	kind, _ := r.kind(name, said)
	return kind
}

// kind tells too whether the name's words alone decided.
func (r Rules) kind(name string, said Kind) (kind Kind, guessed bool) {
	switch {
	case slices.Contains(r.Technical, name):
		return Technical, false
	case slices.Contains(r.White, name):
		return White, false
	case slices.Contains(r.Varnish, name):
		return Varnish, false
	case slices.Contains(r.Spot, name):
		return Spot, false
	case IsProcess(name):
		return Process, false
	case said != "":
		return said, false
	}
	return guess(name), true
}

// Silenced reports whether the ink with this name on the press must not print.
func (r Rules) Silenced(name string) bool { return slices.Contains(r.Silence, name) }

// named lists every name that the rules speak of, each with the rule's name,
// in a fixed order.
func (r Rules) named() (list [][2]string) {
	for _, from := range slices.Sorted(maps.Keys(r.Aliases)) {
		list = append(list, [2]string{"alias", from})
	}
	for _, rule := range []struct {
		name  string
		names []string
	}{
		{"technical", r.Technical}, {"white", r.White}, {"varnish", r.Varnish}, {"spot", r.Spot}, {"silence", r.Silence},
	} {
		for _, n := range rule.names {
			list = append(list, [2]string{rule.name, n})
		}
	}
	return list
}
