package profile

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"unicode/utf16"

	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// Profile is a profile's way from device values to absolute CIELAB.
type Profile struct {
	Space    string // the device's, such as "CMYK" or "6CLR"
	Channels int
	Name     string // its description; may be empty

	stages []stage
	decode func(v []float64) cielab.Lab // of the connection space, media-relative
	white  cielab.XYZ                   // the medium's
}

// stage is one step of a table.
type stage interface {
	apply(v []float64) []float64
}

// errorf says what keeps a profile from being used.
func errorf(text string, args ...any) error {
	return say.Refuse(say.Failed, "name an output profile of the printing condition, or a characterisation table", text, args...)
}

// channels says how many device values a colour space has.
var channels = map[string]int{"GRAY": 1, "RGB": 3, "CMY": 3, "CMYK": 4}

// Parse reads a profile. One that has no table from the device to CIELAB or XYZ
// is a *say.Refusal.
func Parse(data []byte) (*Profile, error) {
	if len(data) < 132 || string(data[36:40]) != "acsp" {
		return nil, errorf("it is no ICC profile")
	}
	p := &Profile{Space: strings.TrimSpace(string(data[16:20]))}
	p.Channels = channels[p.Space]
	if n, ok := strings.CutSuffix(p.Space, "CLR"); ok && len(n) == 1 {
		fmt.Sscanf(n, "%X", &p.Channels)
	}
	if p.Channels == 0 {
		return nil, errorf("a profile for %q is none for a press", p.Space)
	}
	p.Name = description(tag(data, "desc"))
	white := tag(data, "wtpt")
	if len(white) < 20 {
		return nil, errorf("the profile has no media white (wtpt)")
	}
	p.white = cielab.XYZ{X: 100 * fixed(white[8:]), Y: 100 * fixed(white[12:]), Z: 100 * fixed(white[16:])}
	if !(p.white.Y > 10 && p.white.Y < 120 && p.white.X > 0 && p.white.Z > 0) {
		return nil, errorf("the profile's media white is %v", p.white)
	}
	// A2B1 is colorimetric; profiles with one table only call it A2B0.
	table := tag(data, "A2B1")
	if table == nil {
		table = tag(data, "A2B0")
	}
	if table == nil {
		return nil, errorf("the profile has no table from device values to colours (A2B1)")
	}
	if err := p.read(table, strings.TrimSpace(string(data[20:24]))); err != nil {
		return nil, err
	}
	// Read once, so that no table that is cut off is found out later.
	_, err := p.Lab(make([]float64, p.Channels))
	return p, err
}

// tag returns a tag's data, nil for one that the profile lacks or that lies
// outside it.
func tag(data []byte, name string) []byte {
	n := int(binary.BigEndian.Uint32(data[128:]))
	for i := 0; i < n && 132+12*i+12 <= len(data); i++ {
		entry := data[132+12*i:]
		from, size := uint64(binary.BigEndian.Uint32(entry[4:])), uint64(binary.BigEndian.Uint32(entry[8:]))
		if string(entry[:4]) == name && from+size <= uint64(len(data)) && size >= 8 {
			return data[from : from+size]
		}
	}
	return nil
}

// fixed reads an s15Fixed16Number.
func fixed(b []byte) float64 { return float64(int32(binary.BigEndian.Uint32(b))) / 65536 }

// description reads a text of either form; anything else is nameless.
func description(b []byte) string {
	switch {
	case len(b) >= 12 && string(b[:4]) == "desc":
		n := uint64(binary.BigEndian.Uint32(b[8:]))
		if n > 0 && 12+n <= uint64(len(b)) {
			return strings.TrimRight(strings.ToValidUTF8(string(b[12:12+n]), "?"), "\x00")
		}
	case len(b) >= 28 && string(b[:4]) == "mluc":
		size, at := uint64(binary.BigEndian.Uint32(b[20:])), uint64(binary.BigEndian.Uint32(b[24:]))
		if at+size > uint64(len(b)) {
			return ""
		}
		var units []uint16
		for t := b[at : at+size]; len(t) > 1; t = t[2:] {
			units = append(units, binary.BigEndian.Uint16(t))
		}
		return string(utf16.Decode(units))
	}
	return ""
}

// Lab returns the absolute colour of device values between 0 and 1, as many as
// the profile has channels.
func (p *Profile) Lab(device []float64) (cielab.Lab, error) {
	if len(device) != p.Channels {
		return cielab.Lab{}, errorf("%d device values for a profile of %d", len(device), p.Channels)
	}
	v := make([]float64, len(device))
	for i, d := range device {
		v[i] = clamp(d)
	}
	for _, s := range p.stages {
		v = s.apply(v)
	}
	c := p.decode(v).XYZ()
	// Media-relative to absolute (ICC.1:2022, 6.3.2.2).
	c.X *= p.white.X / cielab.White.X
	c.Y *= p.white.Y / cielab.White.Y
	c.Z *= p.white.Z / cielab.White.Z
	lab := c.Lab()
	if math.IsNaN(lab.L) {
		return lab, errorf("the profile's table gives no colour")
	}
	return lab, nil
}

func clamp(v float64) float64 { return min(1, max(0, v)) }
