package gs1

import (
	"slices"
	"strings"
)

// Repeated finds an identifier that one symbol holds twice.
func Repeated(list []Element) error {
	for i, e := range list {
		for _, other := range list[:i] {
			if other.AI == e.AI {
				return fault(e.AI, "a symbol holds each identifier once", "the identifier is there twice")
			}
		}
	}
	return nil
}

// Together checks which identifiers stand on one item, over all of its symbols:
// each must have those that it needs, and none that it excludes.
func Together(ais []string) error {
	has := func(patterns string) bool {
		for _, p := range strings.Split(patterns, "+") {
			if !slices.ContainsFunc(ais, func(ai string) bool { return matches(p, ai) }) {
				return false
			}
		}
		return true
	}
	for _, ai := range ais {
		r := table()[ai]
		if r == nil {
			continue
		}
		for _, x := range r.excludes {
			for _, other := range ais {
				if other != ai && matches(x, other) {
					return fault(ai, "leave one of the two out", "it may not stand on an item with (%s)", other)
				}
			}
		}
		for _, demand := range r.needs {
			if !slices.ContainsFunc(demand, has) {
				return fault(ai, "put with it "+alternatives(demand), "it stands alone")
			}
		}
	}
	return nil
}

// alternatives says "(01) or (02) with (37)".
func alternatives(demand []string) string {
	var list []string
	for _, d := range demand {
		list = append(list, "("+strings.ReplaceAll(d, "+", ") with (")+")")
	}
	return strings.Join(list, " or ")
}
