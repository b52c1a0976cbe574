package conform

import (
	"encoding/binary"
	"fmt"
	"strings"
)

// icc is what a whole profile says of itself (ICC.1:2010 7.2).
type icc struct {
	class      string // prtr, mntr, scnr, spac, link, abst or nmcl
	space      string // of its device side, without blanks: CMYK, RGB, ...
	components int
}

// iccSpaces are the device spaces that a PDF can stand on a profile for.
var iccSpaces = map[string]int{"GRAY": 1, "RGB": 3, "Lab": 3, "CMYK": 4}

// readICC reads a profile to its end, and says in words what is wrong with it:
// its header, its length, its tag table, and the tags without which nothing
// can be converted.
func readICC(data []byte) (p icc, fault string) {
	if len(data) < 132 || string(data[36:40]) != "acsp" {
		return p, "it is no ICC profile"
	}
	p.class = string(data[12:16])
	p.space = strings.TrimRight(string(data[16:20]), " \x00")
	p.components = iccSpaces[p.space]
	// PDF 1.6 knows profiles up to version 4.
	if v := data[8]; v < 2 || v > 4 {
		return p, fmt.Sprintf("it is of version %d", v)
	}
	if size := binary.BigEndian.Uint32(data); int64(size) > int64(len(data)) {
		return p, fmt.Sprintf("it is cut off: %d of %d bytes are there", len(data), size)
	}
	tags, fault := iccTags(data)
	if fault != "" {
		return p, fault
	}
	if pcs := strings.TrimRight(string(data[20:24]), " "); pcs != "XYZ" && pcs != "Lab" {
		return p, fmt.Sprintf("it connects to %q", pcs)
	}
	for _, asked := range iccRequired(p) {
		if !tags[asked] {
			return p, fmt.Sprintf("it lacks %s", asked)
		}
	}
	return p, ""
}

// iccRequired returns the tags that a profile must have to be converted by
// (ICC.1:2010 clause 8).
func iccRequired(p icc) []string {
	switch {
	case p.class == "prtr" && p.space != "GRAY":
		return []string{"A2B0", "B2A0"}
	case p.space == "GRAY":
		return []string{"kTRC"}
	case p.space == "CMYK":
		return []string{"A2B0"}
	}
	return nil
}

// iccTags reads the tag table: each tag must lie within the profile and begin
// with its type.
func iccTags(data []byte) (tags map[string]bool, fault string) {
	n := int64(binary.BigEndian.Uint32(data[128:]))
	if n > 1000 || 132+12*n > int64(len(data)) {
		return nil, "its table of tags is cut off"
	}
	tags = map[string]bool{}
	for i := range n {
		entry := data[132+12*i:]
		name := string(entry[:4])
		from, size := int64(binary.BigEndian.Uint32(entry[4:])), int64(binary.BigEndian.Uint32(entry[8:]))
		if from < 128 || size < 8 || from+size > int64(len(data)) {
			return nil, fmt.Sprintf("its tag %q lies outside of it", name)
		}
		tags[name] = true
	}
	if len(tags) == 0 {
		return nil, "it has no tags"
	}
	return tags, ""
}
