package artwork

import "quoin/impose/pdfobj"

// Device is a device colour space that the page uses and that no default space
// defines: it means what the output intent says, if that is of its kind.
type Device struct {
	Space  string   // DeviceGray, DeviceRGB or DeviceCMYK
	Where  []string // paths, text, images, shadings, groups: those that use it
	Object string   // the first one that does: "object 12"; "" for the page's own content
}

// deviceUse gathers what becomes a Device.
type deviceUse struct {
	where  what
	object string
}

// deviceSpaces are numbered from 1.
var deviceSpaces = [...]string{1: "DeviceGray", 2: "DeviceRGB", 3: "DeviceCMYK"}

// undefined makes a device space for which the resources have no default.
func (c colourScan) undefined(f family, name pdfobj.Name, n int) *space {
	sp := c.simple(f, string(name), n)
	for i, known := range deviceSpaces {
		if known == string(name) {
			sp.undefined = i
		}
	}
	return sp
}

// noteUndefined notes what a colour in a space needs defined: the space itself,
// or what it stands on, as a palette and a spot ink's look do.
func (c colourScan) noteUndefined(sp *space, w what) {
	s := c.scan

	for sp.base != nil && (sp.family == indexedSpace || sp.family == spotSpace) {
		sp = sp.base
	}
	use := &s.deviceUse[sp.undefined]
	if use.where == 0 {
		use.object = objectName(s.in)
	}
	use.where |= w
}

// noteGroup is noteUndefined for the space that a group blends in.
func (c colourScan) noteGroup(o pdfobj.Object, sc *scope) {
	if o != nil {
		c.noteUndefined(c.space(o, sc, false, 0), groups)
	}
}

func (c colourScan) devices() (list []Device) {
	s := c.scan

	for i, use := range s.deviceUse {
		if i > 0 && use.where != 0 {
			list = append(list, Device{deviceSpaces[i], use.where.names(), use.object})
		}
	}
	return list
}
