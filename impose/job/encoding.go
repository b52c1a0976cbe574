package job

import (
	"bytes"
	"encoding/binary"
	"slices"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// The encodings that an order file may be said to be in, by their names in the
// WHATWG Encoding Standard. Latin-1 is read as Windows-1252, as that standard
// has it: the two differ in control characters only.
var encodings = map[string]*charmap.Charmap{
	"windows-1250": charmap.Windows1250, "windows-1251": charmap.Windows1251, "windows-1252": charmap.Windows1252,
	"windows-1253": charmap.Windows1253, "windows-1254": charmap.Windows1254, "windows-1257": charmap.Windows1257,
	"iso-8859-1": charmap.Windows1252, "iso-8859-2": charmap.ISO8859_2, "iso-8859-15": charmap.ISO8859_15,
	"ibm437": charmap.CodePage437, "ibm850": charmap.CodePage850, "macintosh": charmap.Macintosh,
}

// Encodings lists the names that OrderForm.Encoding may have.
func Encodings() []string {
	names := []string{"utf-8", "utf-16le", "utf-16be"}
	for name := range encodings {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// decoded turns a file into UTF-8. A byte order mark says what it is in; without
// one the caller may; where nobody does, zeros at every other place say UTF-16,
// and a file with letters beyond ASCII of which none is UTF-8 is taken for
// Windows-1252, which guess is returned. A file that has both kept its UTF-8:
// lines that are none are refused one by one.
func decoded(data []byte, said string) (text []byte, guess string) {
	bom := bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) || bytes.HasPrefix(data, []byte("\ufeff"))
	switch {
	case bom:
		return inUTF8(data), ""
	case said == "utf-16le":
		return utf16In(data, binary.LittleEndian), ""
	case said == "utf-16be":
		return utf16In(data, binary.BigEndian), ""
	case encodings[said] != nil:
		return inCharmap(data, encodings[said]), ""
	case said == "utf-8" || utf8.Valid(data) && !bytes.Contains(data, []byte{0}):
		return data, ""
	}
	if order := zeros(data); order != nil {
		return utf16In(data, order), "UTF-16"
	}
	if !bytes.Contains(data, []byte{0}) && foreign(data) {
		return inCharmap(data, charmap.Windows1252), "windows-1252"
	}
	return data, ""
}

// zeros tells UTF-16 without a mark: text in Latin letters has a zero in
// nearly every character, always on the same side.
func zeros(data []byte) binary.ByteOrder {
	var at [2]int
	head := data[:min(len(data), 4096)]
	for i, b := range head {
		if b == 0 {
			at[i%2]++
		}
	}
	most := len(head) / 4 // of half the bytes, half
	switch {
	case len(data)%2 == 0 && at[1] > most && at[0] == 0:
		return binary.LittleEndian
	case len(data)%2 == 0 && at[0] > most && at[1] == 0:
		return binary.BigEndian
	}
	return nil
}

// foreign reports whether no letter beyond ASCII is in UTF-8 and all are known to
// Windows-1252, which leaves five bytes without a meaning.
func foreign(data []byte) bool {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r != utf8.RuneError && size > 1 || bytes.IndexByte([]byte{0x81, 0x8d, 0x8f, 0x90, 0x9d}, data[i]) >= 0 {
			return false
		}
		i += size
	}
	return true
}

func inCharmap(data []byte, m *charmap.Charmap) []byte {
	var b strings.Builder
	b.Grow(len(data))
	for _, c := range data {
		b.WriteRune(m.DecodeByte(c))
	}
	return []byte(b.String())
}

// inUTF8 turns a file in UTF-16, as spreadsheets save "Unicode text", into UTF-8;
// its byte order mark tells.
func inUTF8(data []byte) []byte {
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		return utf16In(data, binary.LittleEndian)
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return utf16In(data, binary.BigEndian)
	}
	return data
}

// utf16In decodes UTF-16. Half a character becomes U+FFFD, be it the last byte of
// a file that was cut short: or 12000 would be read as 1200.
func utf16In(data []byte, order binary.ByteOrder) []byte {
	units := make([]uint16, len(data)/2)
	for i := range units {
		units[i] = order.Uint16(data[2*i:])
	}
	text := []byte(string(utf16.Decode(units)))
	if len(data)%2 != 0 {
		text = append(text, "\ufffd"...)
	}
	return text
}
