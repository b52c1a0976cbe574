package impose

import (
	"slices"
	"unicode/utf8"

	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/pdfobj"
	"quoin/impose/press"
)

// inkNames ties the inks of the table to the names in the artworks, byte for
// byte. Names in PDF are bytes, and a RIP tells plates apart by them; the table
// and the job hold text. So an ink keeps the bytes that its first artwork gives
// it, those that are UTF-8 before others, as PDF/X wants.
type inkNames struct {
	pages []*artwork.Page
	table *ink.Table
	rules ink.Rules
	raw   map[string]pdfobj.Name
}

func readNames(pages []*artwork.Page, table *ink.Table, rules ink.Rules) inkNames {
	n := inkNames{pages, table, rules, map[string]pdfobj.Name{}}
	for _, p := range pages {
		for _, u := range p.Inks {
			for _, raw := range spellings(u) {
				kept, known := n.raw[u.Name]
				if !known || !utf8.ValidString(string(kept)) && utf8.ValidString(string(raw)) {
					n.raw[u.Name] = raw
				}
			}
		}
	}
	return n
}

// tellSpellings says which inks have other bytes in one artwork than in another. One
// that has both says so itself.
func (n inkNames) tellSpellings(said *remarks) {
	var told []string
	for _, p := range n.pages {
		for _, u := range p.Inks {
			kept := n.raw[u.Name]
			if len(u.Others) > 0 || u.Raw == kept || slices.Contains(told, u.Name) {
				continue
			}
			told = append(told, u.Name)
			said.warn(artwork.InkSpellings, "the ink name %q is spelled otherwise in %s than in others (Latin-1 beside UTF-8), which are two plates to a RIP; all are written in one spelling", u.Name, p.Name())
		}
	}
}

// spellings returns the bytes that a page has for an ink.
func spellings(u artwork.Usage) []pdfobj.Name { return append([]pdfobj.Name{u.Raw}, u.Others...) }

// bytes returns the name of an ink as it stands in the file.
func (n inkNames) bytes(name string) pdfobj.Name {
	if raw, ok := n.raw[name]; ok {
		return raw
	}
	return pdfobj.Name(name) // the job's own
}

// odd returns the names whose bytes are not those of their text.
func (n inkNames) odd() map[string]pdfobj.Name {
	names := map[string]pdfobj.Name{}
	for _, e := range n.table.Inks {
		if raw := n.bytes(e.Name); string(raw) != e.Name {
			names[e.Name] = raw
		}
	}
	return names
}

// renames returns each name in the artworks that prints under another, or not at
// all.
func (n inkNames) renames() press.Renames {
	renames := press.Renames{}
	for _, p := range n.pages {
		for _, u := range p.Inks {
			e, ok := n.table.Find(n.rules.Name(u.Name))
			for _, raw := range spellings(u) {
				switch {
				case !ok: // painted nowhere
				case !e.TakesStation():
					renames[raw] = press.None
				case n.bytes(e.Name) != raw:
					renames[raw] = n.bytes(e.Name)
				}
			}
		}
	}
	return renames
}

// shared returns the inks that look otherwise in one artwork than in another,
// with the first artwork that has a colour space of its own for them.
func (n inkNames) shared() []press.Shared {
	var list []press.Shared
	for _, e := range n.table.Inks {
		if !n.differs(e) {
			continue
		}
		if p := n.source(e.Name); p != nil {
			list = append(list, press.Shared{Name: n.bytes(e.Name), From: p})
		}
	}
	return list
}

// differs reports whether pages show a spot ink in different ways, be it in what
// doesn't print: the file holds that too.
func (n inkNames) differs(e ink.Entry) bool {
	if !e.TakesStation() || e.Kind == ink.Process {
		return false
	}
	var first ink.Alternate
	for _, p := range n.pages {
		for _, u := range p.Inks {
			switch {
			case n.rules.Name(u.Name) != e.Name || u.Alternate.Space == "":
			case first.Space == "":
				first = u.Alternate
			case !first.Same(u.Alternate):
				return true
			}
		}
	}
	return false
}

// source returns the first page that has a Separation of the ink.
func (n inkNames) source(name string) *artwork.Page {
	for _, p := range n.pages {
		for _, u := range p.Inks {
			if n.rules.Name(u.Name) != name {
				continue
			}
			if _, ok := p.SpotSpace(u.Name); ok {
				return p
			}
		}
	}
	return nil
}

// bareInks returns the names in the artworks, byte for byte, of the inks that an
// underprint in the artworks' shape doesn't stand under: varnishes, whose flood
// would make it a flood of white. What doesn't print has no shape anyway. There
// are none where no such underprint is asked for.
func bareInks(in *Sources) (list []pdfobj.Name) {
	if u := in.Job.Inks.Underprint; u == nil || u.Shape == job.Flood {
		return nil
	}
	for _, p := range in.Pages {
		for _, u := range p.Inks {
			e, ok := in.Inks.Find(in.names.rules.Name(u.Name))
			if ok && e.Kind == ink.Varnish && e.Prints() && !slices.Contains(list, u.Raw) {
				list = append(list, u.Raw)
			}
		}
	}
	slices.Sort(list)
	return list
}
