package job

import (
	"bytes"
	"maps"
	"slices"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// The encodings that an order file may be said to be in, by their names in the
// WHATWG Encoding Standard. Latin-1 is read as Windows-1252, as that standard
// has it: the two differ in control characters only.
var encodings = map[string]encoding.Encoding{
	"utf-16le": unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), "utf-16be": unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM),
	"windows-1250": charmap.Windows1250, "windows-1251": charmap.Windows1251, "windows-1252": charmap.Windows1252,
	"windows-1253": charmap.Windows1253, "windows-1254": charmap.Windows1254, "windows-1257": charmap.Windows1257,
	"iso-8859-1": charmap.Windows1252, "iso-8859-2": charmap.ISO8859_2, "iso-8859-15": charmap.ISO8859_15,
	"ibm437": charmap.CodePage437, "ibm850": charmap.CodePage850, "macintosh": charmap.Macintosh,
}

// Encodings lists the names that OrderForm.Encoding may have.
func Encodings() []string {
	names := slices.AppendSeq([]string{"utf-8"}, maps.Keys(encodings))
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
	case encodings[said] != nil:
		return in(data, encodings[said]), ""
	case said == "utf-8" || utf8.Valid(data) && !bytes.Contains(data, []byte{0}):
		return data, ""
	}
	if wide := zeros(data); wide != nil {
		return in(data, wide), "UTF-16"
	}
	if !bytes.Contains(data, []byte{0}) && foreign(data) {
		return in(data, charmap.Windows1252), "windows-1252"
	}
	return data, ""
}

// zeros tells UTF-16 without a mark: text in Latin letters has a zero in
// nearly every character, always on the same side.
func zeros(data []byte) encoding.Encoding {
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
		return encodings["utf-16le"]
	case len(data)%2 == 0 && at[0] > most && at[1] == 0:
		return encodings["utf-16be"]
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

// in decodes a file. Half a character becomes U+FFFD, be it the last byte of one that
// was cut short: or 12000 would be read as 1200.
func in(data []byte, e encoding.Encoding) []byte {
	text, _ := e.NewDecoder().Bytes(data) // what has no meaning becomes U+FFFD, and no error
	return text
}

// inUTF8 turns a file in UTF-16, as spreadsheets save "Unicode text", into UTF-8;
// its byte order mark tells.
func inUTF8(data []byte) []byte {
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		return in(data, encodings["utf-16le"])
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return in(data, encodings["utf-16be"])
	}
	return data
}
