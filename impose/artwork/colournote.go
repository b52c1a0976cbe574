package artwork

import "strings"

// rgbUse counts a kind of RGB.
type rgbUse struct {
	where  what
	device bool
	object string // the first that uses it
}

// noteSpace finds colours that the press can't take as they are.
func noteSpace(s *scan, sp *space, w what) {
	if sp.family == indexedSpace {
		sp = sp.base
	}
	switch {
	case sp.family == rgbSpace:
		use := s.rgb[sp.label]
		if use == nil {
			use = &rgbUse{device: sp.device, object: objectName(s.in)}
			s.rgb[sp.label] = use
			s.rgbOrder = append(s.rgbOrder, sp.label)
		}
		use.where |= w
	case sp.told:
	case sp.family == unknownSpace:
		sp.told = true
		s.found.page(SpaceUnknown, "a colour is painted in %s; its inks are not known", sp.label)
	case sp.all:
		sp.told = true
		s.found.page(RegistrationInside, "the colour All, every ink at once, is painted where it prints")
	case sp.own:
		sp.told = true
		s.found.page(IntentCMYK, "colours are in CMYK of the output intent's own profile; PDF/X asks for plain DeviceCMYK, which can overprint")
	case sp.foreign:
		sp.told = true
		which := "that is not the output intent's"
		if s.page.OutputIntent == nil {
			which = "of their own, and no output intent says that it is the press's"
		}
		s.found.page(ForeignCMYK, "colours are in CMYK of a profile %s: the RIP may convert them, and all four process inks are assumed", which)
	}
	if s.blendRGB && sp.blended&w != w && (sp.family == cmykSpace || sp.family == spotSpace) {
		sp.blended |= w
		s.found.page(RGBGroup, "%s in %s lies in a group that blends in RGB: black text would become four colours", strings.Join(w.names(), ", "), sp.label)
	}
}

// noteOverprint finds overprint, and white that vanishes by it.
func noteOverprint(s *scan, sp *space, values []float64, mode int64) {
	s.page.Overprint = true
	if mode == 1 && (sp.own || sp.foreign) && !s.toldMode {
		s.toldMode = true
		s.found.page(OverprintMode, "CMYK with a profile overprints in mode 1, which works for plain DeviceCMYK only; PDF/X forbids it")
	}
	if !s.toldPaper && sp.family == cmykSpace && mode == 1 && len(values) == 4 && values[0] == 0 && values[1] == 0 && values[2] == 0 && values[3] == 0 {
		s.toldPaper = true
		s.found.page(PaperOverprints, "white made of 0 %% CMYK overprints, so that it disappears instead of clearing what lies beneath")
	}
}
