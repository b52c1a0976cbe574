package conform

import (
	"io"
	"slices"

	"quoin/impose/pdfobj"
)

// maxSpaceDepth bounds colour spaces inside colour spaces.
const maxSpaceDepth = 8

// space checks a colour space (ISO 32000-1 8.6) and gives its number of
// components: 0 for a pattern's, and -1 where it can't be told.
func (w *walker) space(o pdfobj.Object, depth int) int {
	if depth > maxSpaceDepth {
		w.breach(Readable, o, "a colour space stands inside itself")
		return -1
	}
	switch name := w.doc.Name(o); name {
	case "DeviceGray", "G", "CalGray":
		return 1
	case "DeviceRGB", "RGB":
		return 3
	case "DeviceCMYK", "CMYK":
		return 4
	case "Pattern":
		return 0
	case "":
	default:
		return -1 // a name of the resources, where the space itself is looked at
	}
	list := w.doc.Array(o)
	at := func(i int) pdfobj.Object {
		if i < len(list) {
			return list[i]
		}
		return nil
	}
	switch kind := w.doc.Name(at(0)); kind {
	case "DeviceGray", "DeviceRGB", "DeviceCMYK":
		return w.space(kind, depth+1)
	case "CalGray":
		return 1
	case "CalRGB", "Lab":
		return 3
	case "ICCBased":
		return w.profiled(at(1), o)
	case "Indexed", "I":
		w.space(at(1), depth+1)
		return 1
	case "Pattern":
		if at(1) != nil {
			w.space(at(1), depth+1)
		}
		return 0
	case "Separation":
		w.isFunction(at(3), 1, w.space(at(2), depth+1), "the spot "+w.doc.Name(at(1)).Text(), o)
		return 1
	case "DeviceN":
		return w.deviceN(list, o, depth)
	}
	w.breach(Readable, o, "a colour space is of no kind that is known")
	return -1
}

// deviceN checks 8.6.6.5: each name once, a transform that takes them all, and
// for NChannel a look for each spot.
func (w *walker) deviceN(list pdfobj.Array, o pdfobj.Object, depth int) int {
	if len(list) < 4 {
		w.breach(Readable, o, "a DeviceN colour space is not whole")
		return -1
	}
	names := w.doc.Array(list[1])
	var spots []pdfobj.Name
	for _, n := range names {
		name := w.doc.Name(n)
		switch {
		case name == "None":
			continue
		case name == "All":
			w.breach(Spots, o, "All stands in a DeviceN colour space")
		case slices.Contains(spots, name):
			w.breach(Spots, o, "a DeviceN colour space names %s twice", name.Text())
		}
		spots = append(spots, name)
	}
	w.isFunction(list[3], len(names), w.space(list[2], depth+1), "a DeviceN colour space", o)
	if len(list) < 5 {
		return len(names)
	}
	attributes := w.doc.Dict(list[4])
	colorants, process := w.doc.Dict(attributes["Colorants"]), w.doc.Dict(attributes["Process"])
	for _, key := range colorants.Keys() {
		w.space(colorants[key], depth+1)
	}
	if process["ColorSpace"] != nil {
		w.space(process["ColorSpace"], depth+1)
	}
	switch kind := w.doc.Name(attributes["Subtype"]); kind {
	case "", "DeviceN":
	case "NChannel":
		var covered []pdfobj.Name
		for _, c := range w.doc.Array(process["Components"]) {
			covered = append(covered, w.doc.Name(c))
		}
		for _, name := range spots {
			if colorants[name] == nil && !slices.Contains(covered, name) {
				w.breach(Spots, o, "an NChannel colour space doesn't say what %s looks like", name.Text())
			}
		}
	default:
		w.breach(Features, o, "a DeviceN colour space is of the kind %q", kind)
	}
	return len(names)
}

// profiled checks ICCBased (8.6.5.5): the whole profile, not its header alone.
func (w *walker) profiled(o, at pdfobj.Object) int {
	stream := w.doc.Stream(o)
	if stream == nil {
		w.breach(Profiles, at, "a colour space lacks its profile")
		return -1
	}
	n, _ := w.doc.Int(stream.Dict["N"])
	v := visit{asSpace, stream.Ref}
	if !stream.Ref.IsZero() && w.seen[v] {
		return int(n)
	}
	w.seen[v] = true
	data, err := w.read(stream)
	if err != nil {
		w.breach(Profiles, stream, "a profile can't be read: %v", err)
		return int(n)
	}
	icc, fault := readICC(data)
	switch {
	case fault != "":
		w.breach(Profiles, stream, "a profile can't be used: %s", fault)
	case !slices.Contains([]string{"scnr", "mntr", "prtr", "spac"}, icc.class):
		w.breach(Profiles, stream, "a profile of the class %q describes no colour space", icc.class)
	case icc.components != int(n):
		w.breach(Profiles, stream, "a profile for %s stands in a colour space of %d components", icc.space, n)
	}
	return int(n)
}

// read returns the data of a profile, within the page's budget.
func (w *walker) read(stream *pdfobj.Stream) ([]byte, error) {
	r, err := w.doc.Decoded(stream)
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(r, w.profiles))
	w.profiles -= int64(len(data))
	return data, err
}
