package artwork

import (
	"strings"
	"time"

	"quoin/impose/pdfobj"
)

// ModDate returns when the document says that it was last changed, or else made
// (14.3.3); the zero time when it doesn't say.
func (f *File) ModDate() time.Time {
	info := f.Doc.Dict(f.Doc.Trailer()["Info"])
	for _, key := range []pdfobj.Name{"ModDate", "CreationDate"} {
		if t, ok := parseDate(pdfobj.Text(f.Doc, info[key])); ok {
			return t
		}
	}
	return time.Time{}
}

// Trapped reports whether the document says that it has been trapped (14.3.3).
func (f *File) Trapped() bool { return f.trapping() == "True" }

// NotTrapped reports whether the document says that it has not been trapped; most
// say neither.
func (f *File) NotTrapped() bool { return f.trapping() == "False" }

func (f *File) trapping() pdfobj.Name {
	return f.Doc.Name(f.Doc.Dict(f.Doc.Trailer()["Info"])["Trapped"])
}

// parseDate reads a date string of 7.9.4: D:YYYYMMDDHHmmSSOHH'mm', all but the
// year optional.
func parseDate(s string) (time.Time, bool) {
	s = strings.ReplaceAll(strings.TrimPrefix(s, "D:"), "'", "")
	s = strings.Replace(s, "Z0000", "Z", 1)
	for _, layout := range []string{
		"20060102150405-0700", "20060102150405Z0700", "20060102150405-07", "20060102150405",
		"200601021504", "2006010215", "20060102", "200601", "2006",
	} {
		if t, err := time.Parse(layout, s); err == nil {
			return t.UTC(), true
		}
	}
	return time.Time{}, false
}
