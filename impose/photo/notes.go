package photo

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"

	"quoin/impose/say"
)

// mostProfile bounds what a profile unpacks to.
const mostProfile = 16 << 20

// said is what a JPEG says beside its pixels.
type said struct {
	profile []byte
	turn    int // Exif orientation; 0 or 1 is upright
}

// jpegSays reads the application segments in front of the picture (ITU-T T.81,
// B.1.1.3): profiles in pieces (ICC.1:2010, B.4) and Exif's orientation.
func jpegSays(data []byte) (s said, err error) {
	pieces := map[byte][]byte{}
	count := byte(0)
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		kind, size := data[at+1], int(binary.BigEndian.Uint16(data[at+2:]))
		if kind == 0xff { // fill
			at++
			continue
		}
		if kind == 0xda || at+2+size > len(data) || size < 2 {
			break
		}
		body := data[at+4 : at+2+size]
		if rest, ok := bytes.CutPrefix(body, []byte("ICC_PROFILE\x00")); kind == 0xe2 && ok && len(rest) > 2 {
			pieces[rest[0]], count = rest[2:], rest[1]
		}
		if rest, ok := bytes.CutPrefix(body, []byte("Exif\x00\x00")); kind == 0xe1 && ok && s.turn == 0 {
			s.turn = orientation(rest)
		}
		at += 2 + size
	}
	if len(pieces) != int(count) {
		return s, say.Refuse(say.Artwork, resave, "the picture's profile isn't whole")
	}
	for n := 1; n <= int(count); n++ {
		piece, ok := pieces[byte(n)]
		if !ok {
			return s, say.Refuse(say.Artwork, resave, "the picture's profile isn't whole")
		}
		s.profile = append(s.profile, piece...)
	}
	return s, nil
}

// orientation finds tag 0x0112 in the first directory of a TIFF header; 0 where
// there is none.
func orientation(t []byte) int {
	var order binary.ByteOrder = binary.BigEndian
	if len(t) < 8 {
		return 0
	}
	if t[0] == 'I' {
		order = binary.LittleEndian
	}
	at := int64(order.Uint32(t[4:]))
	if at+2 > int64(len(t)) {
		return 0
	}
	for n, i := int64(order.Uint16(t[at:])), int64(0); i < n && at+2+12*(i+1) <= int64(len(t)); i++ {
		entry := t[at+2+12*i:]
		if order.Uint16(entry) == 0x0112 {
			return int(order.Uint16(entry[8:]))
		}
	}
	return 0
}

// pngProfile returns the profile of the chunk iCCP (PNG, 11.3.2.3); nil for none.
func pngProfile(data []byte) ([]byte, error) {
	for at := int64(8); at+12 <= int64(len(data)); {
		size := int64(binary.BigEndian.Uint32(data[at:]))
		kind := string(data[at+4 : at+8])
		if kind == "IDAT" || at+12+size > int64(len(data)) {
			break
		}
		if body := data[at+8 : at+8+size]; kind == "iCCP" {
			_, packed, ok := bytes.Cut(body, []byte{0})
			if ok && len(packed) > 1 {
				z, err := zlib.NewReader(bytes.NewReader(packed[1:]))
				if err == nil {
					var profile []byte
					if profile, err = io.ReadAll(io.LimitReader(z, mostProfile)); err == nil {
						return profile, nil
					}
				}
			}
			return nil, say.Refuse(say.Artwork, resave, "the picture's profile is damaged")
		}
		at += 12 + size
	}
	return nil, nil
}

// profileFits reports whether a profile is for so many components, by the colour
// space in its header (ICC.1:2010, 7.2.6).
func profileFits(profile []byte, colours int) bool {
	if len(profile) < 128 {
		return false
	}
	return map[string]int{"GRAY": 1, "RGB ": 3, "CMYK": 4}[string(profile[16:20])] == colours
}
