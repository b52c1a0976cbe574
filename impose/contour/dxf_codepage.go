package contour

import (
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/ianaindex"
)

// codepages are what $DWGCODEPAGE calls those in which releases before 2007
// write names, which UTF-8 took the place of; the numbers are those of Windows
// and DOS (the list from memory, ANSI_1252 checked against ezdxf).
var codepages = map[string]string{
	"ANSI_874": "windows-874", "ANSI_932": "Shift_JIS", "ANSI_936": "GBK", "ANSI_949": "EUC-KR", "ANSI_950": "Big5",
	"ANSI_1250": "windows-1250", "ANSI_1251": "windows-1251", "ANSI_1252": "windows-1252", "ANSI_1253": "windows-1253",
	"ANSI_1254": "windows-1254", "ANSI_1255": "windows-1255", "ANSI_1256": "windows-1256", "ANSI_1257": "windows-1257",
	"ANSI_1258": "windows-1258", "DOS437": "IBM437", "DOS850": "IBM850", "DOS852": "IBM852", "DOS866": "IBM866",
	"ISO8859-1": "ISO-8859-1", "ISO8859-2": "ISO-8859-2", "ISO8859-5": "ISO-8859-5", "MACINTOSH": "macintosh",
}

// decode turns the values of a file that is no UTF-8 into it, by the code page
// that its header names; a header that names none leaves the western one.
func decode(tags []tag) error {
	page, line := "ANSI_1252", 0
	var decoder *encoding.Decoder
	for i, t := range tags {
		if t.code == 9 && t.value == "$DWGCODEPAGE" && i+1 < len(tags) {
			page, line = tags[i+1].value, tags[i+1].line
		}
		if utf8.ValidString(t.value) {
			continue
		}
		if decoder == nil {
			e, err := ianaindex.IANA.Encoding(codepages[strings.ToUpper(page)])
			if err != nil || e == nil {
				return refuse(line, "save it as a DXF of release 2007 or later, which is UTF-8", "the code page %q is not known", clip(page))
			}
			decoder = e.NewDecoder()
		}
		text, err := decoder.String(t.value)
		if err != nil {
			return refuse(t.line, "save it as a DXF of release 2007 or later, which is UTF-8", "the text is not in the code page %s, which the header names", clip(page))
		}
		tags[i].value = text
	}
	return nil
}
