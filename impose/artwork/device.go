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

// undefinedSpace makes a device space for which the resources have no default.
func undefinedSpace(s *scan, f family, name pdfobj.Name, n int) *space {
	sp := plainSpace(s, f, string(name), n)
	for i, known := range deviceSpaces {
		if known == string(name) {
			sp.undefined = i
		}
	}
	return sp
}

// noteUndefined notes what a colour in a space needs defined: the space itself,
// or what it stands on, as a palette and a spot ink's look do.
func noteUndefined(s *scan, sp *space, w what) {
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
func noteGroup(s *scan, o pdfobj.Object, sc *scope) {
	if o != nil {
		noteUndefined(s, spaceOf(s, o, sc, false, 0), groups)
	}
}

func devicesOf(s *scan) (list []Device) {
	for i, use := range s.deviceUse {
		if i > 0 && use.where != 0 {
			list = append(list, Device{deviceSpaces[i], use.where.names(), use.object})
		}
	}
	return list
}
