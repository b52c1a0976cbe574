package artwork

import (
	"strings"

	"quoin/impose/ink"
	"quoin/impose/pdfobj"
	"quoin/impose/say"
)

// finishScan turns what the walk has gathered into the page's fields.
func finishScan(s *scan) {
	p := s.page
	s.present()
	p.Inks = usagesOf(s)
	p.Devices = devicesOf(s)
	p.Fonts = usedFonts(s)
	p.separations = map[string]pdfobj.Object{}
	for _, u := range s.order {
		if u.separation != nil {
			p.separations[u.name] = u.separation
		}
	}
	finishInks(s)
	finishLayers(s)
	finishDieLine(s)
	finishRGB(s)
	checkFonts(s)
	checkImages(s)
	if s.thin > 0 {
		s.found.page(Hairline, "a line is only %s pt (%s mm) thick", say.Rough(s.thin, 3), say.Rough(s.thin*25.4/72, 2))
	}
}

// finishInks tells of spots that a RIP may make a plate of for nothing, and
// of those that don't know what they look like.
func finishInks(s *scan) {
	for _, u := range s.order {
		if u.other.Space != "" {
			s.found.page(ink.NoteAlternates, "%s looks like %s in one place but like %s in another; PDF/X asks for one look", u.name, u.alternate, u.other)
		}
	}
	for _, u := range s.page.Inks {
		if u.State == Present && u.Kind != ink.Process {
			s.found.page(InkUnused, "%s stands in the resources, but nothing is painted in it; some RIPs make a plate for it all the same", u.Name)
		}
	}
}

func finishLayers(s *scan) {
	table := s.page.File.layers
	for _, ref := range table.order {
		if !s.layers[ref] && s.err == nil {
			continue // after a scan that was cut short, any layer may be in use
		}
		l := table.groups[ref]
		s.page.Layers = append(s.page.Layers, *l)
		if !l.On {
			s.found.add(LayerHidden, objectName(ref), "layer %q is off and doesn't print", l.Name)
		}
		if table.automatic[ref] {
			s.found.add(LayerAutomatic, objectName(ref), "layer %q is %s, but asks to be switched for printing; that is not done", l.Name, map[bool]string{true: "on", false: "off"}[l.On])
		}
	}
}

func finishRGB(s *scan) {
	intent := s.page.OutputIntent
	for _, label := range s.rgbOrder {
		use := s.rgb[label]
		where := strings.Join(use.where.names(), ", ")
		s.found.add(RGB, use.object, "%s is used in %s: the RIP must convert it, and all four process inks are assumed", label, where)
		if use.device && (intent == nil || intent.Space != "RGB") {
			s.found.add(RGBWithoutSpace, use.object, "nothing says what the %s in %s means: there is neither a profile nor a default space", label, where)
		}
	}
}

// SpotSpace returns the Separation colour space that the page has for an ink,
// so that marks in this ink can use the same one: one name, one alternate.
func (p *Page) SpotSpace(name string) (pdfobj.Object, bool) {
	o, ok := p.separations[name]
	return o, ok
}
