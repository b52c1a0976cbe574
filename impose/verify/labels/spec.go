package labels

import (
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// spec and places are what the register keeps of a run, in lengths of
// nanometres.
type spec struct {
	Names  []string
	Fields []field
}

type field struct {
	Name, Value string
	Elements    []struct{ AI, Value string }
	Link        string
	Symbol      *struct{ Kind string }
}

type places struct {
	Order struct {
		Lanes   []int
		Rows    int
		Records int64
		PerRoll int64
		Change  int64
	}
	Mirrored length
	Symbols  []struct {
		Lane, Row int
		Boxes     []box
	}
}

type box struct {
	Min, Max struct{ Across, Around length }
}

// length is in nanometres; the register has it in millimetres with the unit.
type length int64

// UnmarshalText reads a length as "1.5mm".
func (l *length) UnmarshalText(text []byte) error {
	mm, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(string(text), "mm")), 64)
	*l = length(math.Round(mm * 1e6)) // exact up to 9,000 km
	return err
}

// filled puts a record's values into a text with names in braces.
func (s *spec) filled(text string, values []string) string {
	var b strings.Builder
	for text != "" {
		switch i := strings.IndexAny(text, "{}"); {
		case i < 0:
			b.WriteString(text)
			return b.String()
		case i+1 < len(text) && text[i+1] == text[i]: // a brace itself
			b.WriteString(text[:i+1])
			text = text[i+2:]
		default:
			b.WriteString(text[:i])
			name, rest, _ := strings.Cut(text[i+1:], "}")
			if n := slices.Index(s.Names, strings.TrimSpace(name)); n >= 0 && n < len(values) {
				b.WriteString(values[n])
			}
			text = rest
		}
	}
	return b.String()
}

// says reports whether what was read from a symbol is what the record asks for,
// and what that is.
func (s *spec) says(f field, values []string, read string) (want string, same bool) {
	if f.Link != "" {
		same = strings.HasPrefix(read, strings.TrimSuffix(f.Link, "/")+"/")
		for _, e := range f.Elements {
			value := s.filled(e.Value, values)
			want += "(" + e.AI + ")" + value
			same = same && linked(read, e.AI, value)
		}
		return want, same
	}
	if f.Elements != nil {
		for _, e := range f.Elements {
			want += e.AI + s.filled(e.Value, values)
		}
	} else if want = s.filled(f.Value, values); strings.HasPrefix(f.Symbol.Kind, "gs1-") {
		if strings.HasPrefix(f.Value, "(") {
			want = s.filled(bare(f.Value), values) // a cell's parentheses are its own
		} else {
			want = bare(want)
		}
	}
	// Readers write the function character as a group separator, or not at all,
	// and some put the kind of symbol in front (ISO/IEC 15424).
	plain := strings.ReplaceAll(read, "\x1d", "")
	if strings.HasPrefix(f.Symbol.Kind, "gs1-") && len(plain) > 3 && plain[0] == ']' {
		plain = plain[3:]
	}
	if f.Symbol.Kind == "upc-a" {
		plain, want = strings.TrimLeft(plain, "0"), strings.TrimLeft(want, "0")
	}
	return want, plain == want
}

// linked reports whether an address carries a value under an identifier, as a
// piece of its path or behind the question mark.
func linked(address, ai, value string) bool {
	u, err := url.Parse(address)
	if err != nil {
		return false
	}
	pieces := strings.Split(u.EscapedPath(), "/")
	for i := 1; i+1 < len(pieces); i += 2 {
		if got, err := url.PathUnescape(pieces[i+1]); pieces[i] == ai {
			return err == nil && got == value
		}
	}
	return u.Query().Get(ai) == value
}

// bare takes the parentheses of identifiers away: "(01)095(21)7" becomes
// "01095217".
func bare(text string) string {
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		if end := strings.IndexByte(text[i:], ')'); text[i] == '(' && end >= 3 && end <= 5 && strings.Trim(text[i+1:i+end], "0123456789") == "" {
			b.WriteString(text[i+1 : i+end])
			i += end
			continue
		}
		b.WriteByte(text[i])
	}
	return b.String()
}
