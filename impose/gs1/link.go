package gs1

import (
	"fmt"
	"slices"
	"strings"
)

// Link writes elements as a GS1 Digital Link address below a domain, such as
// "https://example.com": the primary key and its qualifiers as the path, in the
// order of the table, all others behind the question mark. The elements may come
// in any order; exactly one must be a primary key that the others belong to. Values are not checked.
//
// GS1 Digital Link Standard: URI Syntax; keys and their order by the Syntax
// Dictionary.
func Link(domain string, list []Element) (string, error) {
	if scheme, host, found := strings.Cut(domain, "://"); !found || scheme != "https" && scheme != "http" || host == "" || strings.ContainsAny(host, "?# ") {
		return "", fault("", "write it as in https://example.com", "%q is no domain for a Digital Link", domain)
	}
	key := slices.IndexFunc(list, func(e Element) bool { r := table()[e.AI]; return r != nil && r.key })
	if key < 0 {
		return "", fault("", "give (01), (00), (414), (8004) or another key", "none of the elements is a primary key of a Digital Link")
	}
	path, err := linkPath(list, list[key])
	if err != nil {
		return "", err
	}
	var b strings.Builder
	b.WriteString(strings.TrimSuffix(domain, "/"))
	for _, e := range path {
		b.WriteString("/" + e.AI + "/" + escaped(e.Value))
	}
	sign := byte('?')
	for _, e := range list {
		if slices.Contains(path, e) {
			continue
		}
		switch r := table()[e.AI]; {
		case r == nil:
			return "", e.Check()
		case !r.query:
			return "", fault(e.AI, "leave it out", "it may not stand in a Digital Link with (%s)", list[key].AI)
		}
		b.WriteByte(sign)
		b.WriteString(e.AI + "=" + escaped(e.Value))
		sign = '&'
	}
	return b.String(), nil
}

// linkPath returns the key and those of its qualifiers that are there. Qualifiers
// of two alternative paths don't go together.
func linkPath(list []Element, key Element) ([]Element, error) {
	var best []Element
	for _, qualifiers := range append([][]string{nil}, table()[key.AI].paths...) {
		path := []Element{key}
		for _, q := range qualifiers {
			if i := slices.IndexFunc(list, func(e Element) bool { return e.AI == q }); i >= 0 {
				path = append(path, list[i])
			}
		}
		if len(best) > 1 && len(path) > 1 {
			return nil, fault(path[1].AI, "leave one of the two out", "it may not qualify (%s) beside (%s)", key.AI, best[1].AI)
		}
		if len(path) > len(best) {
			best = path
		}
	}
	return best, nil
}

// escaped writes what has a meaning in an address as % and two digits (RFC 3986
// 2.3: unreserved characters stand as they are).
func escaped(value string) string {
	var b strings.Builder
	for i := range len(value) {
		c := value[i]
		if isAlphanumeric(c) || strings.IndexByte("-._~", c) >= 0 {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "%%%02X", c)
		}
	}
	return b.String()
}
