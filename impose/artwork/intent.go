package artwork

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strconv"
	"strings"

	"quoin/impose/pdfobj"
)

// OutputIntent is the printing condition that the artwork was made for,
// 14.11.5.
type OutputIntent struct {
	Dict       pdfobj.Dict
	Subtype    string // GTS_PDFX and so on
	Condition  string // OutputConditionIdentifier
	Info       string
	Profile    *pdfobj.Stream // nil if none is embedded
	SHA256     string         // of the decoded profile, in hexadecimal; "" if none
	Components int            // of the profile's device; 0 if it has none
	Space      string         // the profile's colour space, such as "CMYK"; "" if none
}

// maxProfiles bounds the bytes of all ICC profiles of a file together; those
// of multicolour presses have some ten megabytes each.
const maxProfiles = 128 << 20

// readIntent takes the page's own output intent (PDF 2.0) before the
// document's, and one for PDF/X before any other. Nil if there is none.
func readIntent(f *File, page pdfobj.Dict, find func(code, format string, args ...any)) *OutputIntent {
	doc := f.Doc
	var best pdfobj.Dict
	for _, holder := range []pdfobj.Dict{page, doc.Catalog()} {
		for _, o := range doc.Array(holder["OutputIntents"]) {
			d := doc.Dict(o)
			if d == nil {
				continue
			}
			if best == nil || doc.Name(d["S"]) == "GTS_PDFX" && doc.Name(best["S"]) != "GTS_PDFX" {
				best = d
			}
		}
		if best != nil {
			break
		}
	}
	if best == nil {
		return nil
	}
	if len(doc.Array(page["OutputIntents"])) > 0 {
		others := "; the document has none"
		if len(doc.Array(doc.Catalog()["OutputIntents"])) > 0 {
			others = ", which is taken and not the document's"
		}
		find(PageIntent, "the page has an output intent of its own, %q%s", pdfobj.Text(doc, best["OutputConditionIdentifier"]), others)
	}
	intent := &OutputIntent{
		Dict:      best,
		Subtype:   doc.Name(best["S"]).Text(),
		Condition: pdfobj.Text(doc, best["OutputConditionIdentifier"]),
		Info:      pdfobj.Text(doc, best["Info"]),
		Profile:   doc.Stream(best["DestOutputProfile"]),
	}
	if intent.Profile == nil {
		return intent
	}
	p, err := f.profile(intent.Profile)
	if err != nil {
		find(ProfileInvalid, "the output intent's profile can't be read: %v", err)
		return intent
	}
	intent.SHA256, intent.Components, intent.Space = p.sha256, p.components, p.space
	return intent
}

// profile is what the header of an ICC profile says (ICC.1, 7.2).
type profile struct {
	space      string // trimmed signature: RGB, CMYK, GRAY, Lab, 6CLR, ...
	components int
	sha256     string
}

// profile reads a profile once, however many colour spaces use it.
func (f *File) profile(s *pdfobj.Stream) (profile, error) {
	if known, ok := f.profiles[s.Ref]; ok {
		return known.profile, known.err
	}
	p, n, err := readProfile(f.Doc, s, maxProfiles-f.profiled)
	f.profiled += n
	if f.profiles == nil {
		f.profiles = map[pdfobj.Ref]profileRead{}
	}
	if !s.Ref.IsZero() {
		f.profiles[s.Ref] = profileRead{p, err}
	}
	return p, err
}

// profileRead is what became of reading a profile.
type profileRead struct {
	profile
	err error
}

// readProfile reads a profile of at most limit bytes, and tells how many it
// took.
func readProfile(doc *pdfobj.Document, s *pdfobj.Stream, limit int64) (p profile, n int64, err error) {
	r, err := doc.Decoded(s)
	if err != nil {
		return profile{}, 0, err
	}
	header := make([]byte, 128)
	if _, err := io.ReadFull(r, header); err != nil {
		return profile{}, 0, fmt.Errorf("it is shorter than its header: %w", err)
	}
	if string(header[36:40]) != "acsp" {
		return profile{}, 0, fmt.Errorf("it is not an ICC profile")
	}
	p.space = trimSignature(header[16:20])
	p.components = profileComponents[p.space]
	if digit := strings.TrimSuffix(p.space, "CLR"); len(digit) == 1 && digit != p.space {
		v, _ := strconv.ParseUint(digit, 16, 8) // 2CLR to FCLR
		p.components = int(v)
	}
	sum := sha256.New()
	sum.Write(header)
	n, err = io.Copy(sum, io.LimitReader(r, limit+1))
	if err != nil {
		return profile{}, n, err
	}
	if n > limit {
		return profile{}, n, fmt.Errorf("the file's profiles have more than %d MiB together", maxProfiles>>20)
	}
	p.sha256 = hex.EncodeToString(sum.Sum(nil))
	return p, n, nil
}

var profileComponents = map[string]int{"GRAY": 1, "RGB": 3, "Lab": 3, "XYZ": 3, "CMY": 3, "CMYK": 4}

func trimSignature(b []byte) string {
	for len(b) > 1 && (b[len(b)-1] == ' ' || b[len(b)-1] == 0) {
		b = b[:len(b)-1]
	}
	return string(b)
}
