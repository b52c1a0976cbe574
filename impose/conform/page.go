package conform

import (
	"fmt"
	"io"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// findings says which rule a finding of an artwork goes against.
var findings = map[string]string{
	artwork.FontMissing:      Fonts,
	artwork.LZW:              Features,
	artwork.ProfileInvalid:   Profiles,
	artwork.IntentCMYK:       Profiles,
	artwork.OverprintMode:    Profiles,
	artwork.NameInvalid:      Spots,
	ink.NoteAlternates:       Spots,
	artwork.OperatorUnknown:  Readable,
	artwork.RenderingUnknown: Features,
	artwork.ScanIncomplete:   Readable,
	artwork.SpaceUnknown:     Readable,
}

// defines says which output intents define a device space.
var defines = map[string][]string{
	"DeviceCMYK": {"CMYK"}, "DeviceRGB": {"RGB"}, "DeviceGray": {"GRAY", "CMYK"},
}

// Content checks what is painted on a page, placed or not, where the output
// intent has a profile of this space: CMYK, RGB, GRAY or "" for none.
func Content(p *artwork.Page, intent string) (list []Breach) {
	for _, f := range p.Findings {
		if rule, ok := findings[f.Code]; ok {
			list = append(list, Breach{rule, f.Text, p.Number, f.Object})
		}
	}
	for _, d := range p.Devices {
		list = append(list, device(d, intent, p.Number)...)
	}
	return append(list, objects(p)...)
}

// device checks a device space that no default defines.
func device(d artwork.Device, intent string, page int) (list []Breach) {
	for _, space := range defines[d.Space] {
		if space == intent {
			return nil
		}
	}
	why := "there is no output intent with a profile"
	if intent != "" {
		why = "the output intent is for " + intent
	}
	var paints, groups []string
	for _, w := range d.Where {
		if w == "groups" {
			groups = append(groups, w)
		} else {
			paints = append(paints, w)
		}
	}
	if len(paints) > 0 {
		list = append(list, Breach{DeviceColour, d.Space + " in " + strings.Join(paints, ", ") + " isn't defined: " + why, page, d.Object})
	}
	if len(groups) > 0 {
		list = append(list, Breach{Groups, "a group blends in " + d.Space + ", which isn't defined: " + why, page, d.Object})
	}
	return list
}

// Condition returns the space of an output intent's profile, and what about the
// intent goes against the rule.
func Condition(doc *pdfobj.Document, intent pdfobj.Object) (space string, list []Breach) {
	breach := func(text string) { list = append(list, Breach{Rule: Intent, Text: text}) }
	d := doc.Dict(intent)
	if d == nil {
		breach("there is no output intent")
		return "", list
	}
	if doc.Name(d["S"]) != "GTS_PDFX" {
		breach("the output intent is not one for PDF/X")
	}
	if id, ok := doc.String(d["OutputConditionIdentifier"]); !ok || id == "" {
		breach("the output intent doesn't name its condition")
	}
	profile := doc.Stream(d["DestOutputProfile"])
	if profile == nil {
		breach("the output intent has no profile")
		return "", list
	}
	r, err := doc.Decoded(profile)
	var data []byte
	if err == nil {
		data, err = io.ReadAll(io.LimitReader(r, maxProfileBytes))
	}
	space, fault := Profile(data)
	if err != nil {
		fault = fmt.Sprintf("the output intent's profile can't be read: %v", err)
	}
	if fault != "" {
		breach(fault)
	}
	return space, list
}

// Profile reads a whole ICC profile: its colour space, and what keeps it from
// being an output intent's.
func Profile(data []byte) (space, fault string) {
	p, fault := readICC(data)
	switch {
	case fault != "":
		return p.space, "the output intent's profile can't be used: " + fault
	case p.class != "prtr":
		return p.space, "the output intent's profile is of the class " + p.class + ", not that of an output device"
	}
	return p.space, ""
}
