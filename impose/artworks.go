package impose

import (
	"fmt"
	"strconv"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/press"
)

// readArtworks opens the page of every artwork and hands on what is worth a
// person's look.
func (im *Imposition) readArtworks() error {
	for i, a := range im.Job.Artworks {
		p, err := im.files.page(a)
		if err != nil {
			return im.placed(i, err)
		}
		im.Pages = append(im.Pages, p)
		if p.Tiling && !press.OwnTiling(p) {
			im.warn("tiling-shared", "%s has tiling patterns in much content, so that all stations share them; some RIPs run patterns on from the first label over the others: compare two labels of a test frame", im.pageName(i))
		}
		for _, f := range p.Findings {
			text := im.pageName(i) + ": " + f.Text
			if f.Object != "" {
				text += " (" + f.Object + ")"
			}
			if f.Level == artwork.Warning {
				im.warnings = append(im.warnings, Warning{f.Code, text})
			} else {
				im.notes = append(im.notes, Warning{f.Code, text})
			}
		}
	}
	im.compareTrapping()
	im.tellUnused()
	im.tellPermitted()
	return nil
}

// tellUnused says which pages of an artwork's file stand on no lane: a back, or
// another version, is easily forgotten.
func (im *Imposition) tellUnused() {
	for _, path := range im.files.paths() {
		f := im.files.files[path]
		name, used := "", map[int]bool{}
		for i, p := range im.Pages {
			if p.File == f {
				used[p.Number], name = true, im.Job.Artworks[i].File
			}
		}
		var unused []string
		for n := 1; n <= f.Pages() && len(unused) <= maxUnused; n++ {
			if !used[n] {
				unused = append(unused, strconv.Itoa(n))
			}
		}
		rest := f.Pages() - len(used) - maxUnused
		switch {
		case len(unused) == 0:
			continue
		case len(unused) == 1:
			im.warn("page-unused", "%s: page %s is not used; --page %s, or `pages:` in a job file", name, unused[0], unused[0])
		case rest > 0:
			im.warn("page-unused", "%s: pages %s and %d more are not used; --page, or `pages:` in a job file", name, strings.Join(unused[:maxUnused], ", "), rest)
		default:
			im.warn("page-unused", "%s: pages %s are not used; --page, or `pages:` in a job file", name, strings.Join(unused, ", "))
		}
	}
}

// maxUnused is how many unused pages are named.
const maxUnused = 5

// tellPermitted keeps who gave leave to place what its owner restricts.
func (im *Imposition) tellPermitted() {
	for i, p := range im.Pages {
		if p.Doc.Restricted() {
			im.warn("permitted", "%s: the file's permissions forbid changing and assembling it; it is placed with the leave of %s", im.pageName(i), im.Job.PermittedBy)
		}
	}
}

// compareTrapping warns where one artwork is trapped and another is not: the
// file can only say one of the two.
func (im *Imposition) compareTrapping() {
	trapped, not := -1, -1
	for i, p := range im.Pages {
		if p.File.Trapped() {
			trapped = i
		} else if p.File.NotTrapped() {
			not = i
		}
	}
	if trapped >= 0 && not >= 0 {
		im.warn("trapping-differs", "%s says that it is trapped, and %s that it is not: the file says that it is not; a RIP that traps would trap the first again", im.pageName(trapped), im.pageName(not))
	}
}

// pageName names an artwork's page as the job does.
func (im *Imposition) pageName(artwork int) string {
	return fmt.Sprintf("%s, page %d", im.Job.Artworks[artwork].File, im.Pages[artwork].Number)
}

// placed says where the job file names the artwork that can't be used.
func (im *Imposition) placed(artwork int, err error) error {
	at := im.Job.At(im.Job.ArtworkKey(artwork) + ".file")
	if at.Line == 0 {
		return err
	}
	return fmt.Errorf("%s: %w", at, err)
}

// tableInks merges the inks of all artworks under the job's rules.
func (im *Imposition) tableInks() error {
	rules := inkRules(im.Job.Inks)
	var seen []ink.Seen
	for i, p := range im.Pages {
		source := im.pageName(i)
		for _, u := range p.Inks {
			if u.State == artwork.Used {
				seen = append(seen, ink.Seen{Name: u.Name, Said: u.Said, CMYK: u.CMYK, Alternate: u.Alternate, Source: source})
			}
		}
	}
	mixtures := im.mixtures()
	if err := ink.CheckMerges(mixtures, rules); err != nil {
		return im.aliased(err)
	}
	im.Inks = ink.NewTable(append(seen, fieldInks(im.Job.Fields)...), rules, mixtures...)
	im.names = readNames(im.Pages, im.Inks, rules)
	for _, n := range im.Inks.Notes {
		im.warn(n.Code, "%s", n.Text)
	}
	return nil
}

// mixtures gives the inks that the artworks mix in one colour space.
func (im *Imposition) mixtures() (list []ink.Mixture) {
	for i, p := range im.Pages {
		for _, names := range p.Mixtures {
			list = append(list, ink.Mixture{Names: names, Source: im.pageName(i)})
		}
	}
	return list
}

// aliased says where the job file names the aliases that can't be.
func (im *Imposition) aliased(err error) error {
	at := im.Job.At("inks.aliases")
	if at.Line == 0 {
		return err
	}
	return fmt.Errorf("%s: %w", at, err)
}

// inkRules gives the job's rules in the words of the ink table.
func inkRules(r job.InkRules) ink.Rules {
	rules := ink.Rules{Technical: r.Technical, White: r.White, Varnish: r.Varnish, Spot: r.Spot, Silence: r.Silence}
	if len(r.Aliases) > 0 {
		rules.Aliases = make(map[string]string, len(r.Aliases))
		for _, a := range r.Aliases {
			rules.Aliases[a.From] = a.To
		}
	}
	return rules
}

// PrintingInks gives the inks that occupy a station, in the table's order.
func (im *Imposition) PrintingInks() []ink.Ink {
	var list []ink.Ink
	for _, e := range im.Inks.Inks {
		if e.Prints() {
			list = append(list, e.Ink)
		}
	}
	return list
}

// DrawnInks gives all inks that the frame may be drawn in, technical ones too:
// what a picture needs to know.
func (im *Imposition) DrawnInks() []ink.Ink {
	var list []ink.Ink
	for _, e := range im.Inks.Inks {
		list = append(list, e.Ink)
	}
	return list
}

// PrintingOrder gives them in the order in which the press prints them.
func (im *Imposition) PrintingOrder() []ink.Ink {
	return printingOrder(im.PrintingInks(), im.Job.Mirror)
}
