package job

import (
	"encoding"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"quoin/geometry"
	"quoin/impose/say"

	"go.yaml.in/yaml/v4"
)

// value is one value of a file with its place: a YAML node, or a CSV cell.
// Its methods read it into a field and put what is wrong on the reader's list;
// a faulty value leaves the field as it was.
type value struct {
	reader *reader
	node   *yaml.Node // nil for a cell
	text   string     // of a scalar, as written
	key    string     // path from the file's (or the record's) root
	at     place
}

func (v value) fault(what, hint string) { v.reader.fault(v.at, v.key, what, hint) }

// scalar returns the value's text, and faults what isn't plain text.
func (v value) scalar() (string, bool) {
	if v.node != nil && v.node.Kind != yaml.ScalarNode {
		v.fault("holds "+kindName(v.node)+" where one value belongs", "")
		return "", false
	}
	return v.text, true
}

// parse reads the scalar with f, whose error it explains.
func parse[T any](v value, x *T, f func(string) (T, error)) bool {
	s, ok := v.scalar()
	if !ok {
		return false
	}
	if len(s) > 80 { // no number, size or word is so long
		v.fault("is far too long", "")
		return false
	}
	if strings.ContainsFunc(s, func(c rune) bool { return c != ' ' && unicode.IsSpace(c) }) {
		v.fault("holds white space that is no plain space", "")
		return false
	}
	t, err := f(s)
	if err == nil {
		*x = t
		if v.reader.heard != nil {
			v.reader.heard(exact(t))
		}
		return true
	}
	v.fault(err.Error(), say.Hint(err))
	return false
}

// exact writes a value in the one way that loses nothing of it.
func exact(t any) string {
	if m, ok := t.(encoding.TextMarshaler); ok {
		if text, err := m.MarshalText(); err == nil {
			return string(text)
		}
	}
	return fmt.Sprint(t)
}

// optional reads into a field that is nil where the file says nothing.
func optional[T any](x **T, read func(*T)) {
	*x = new(T)
	read(*x)
}

// maybe is parse for such a field, as are maybeLength and maybeShare for theirs.
func maybe[T any](v value, x **T, f func(string) (T, error)) {
	optional(x, func(t *T) { parse(v, t, f) })
}

func (v value) maybeLength(x **geometry.Length, s sign) {
	optional(x, func(l *geometry.Length) { v.length(l, s) })
}

func maybeShare(v value, x **geometry.Share) {
	optional(x, func(s *geometry.Share) { v.share(s, 0, geometry.Whole) })
}

// str reads a text: as written, so that 0042 keeps its zeros.
func (v value) str(x *string) {
	s, ok := v.scalar()
	if s = strings.TrimSpace(s); ok && s == "" {
		v.fault("is empty", "write a text, or leave the key out")
	} else if ok {
		*x = s
	}
}

// strs reads a list of texts; one text alone is a list of one. In a cell,
// commas, semicolons and bars part the texts.
func (v value) strs(x *[]string) {
	var out []string
	add := func(item value) {
		var s string
		if item.str(&s); s != "" {
			out = append(out, s)
		}
	}
	switch {
	case v.node == nil:
		for _, s := range strings.FieldsFunc(v.text, func(r rune) bool { return strings.ContainsRune(",;|", r) }) {
			item := v
			item.text = s
			add(item)
		}
	case v.isList():
		v.each(add)
	default:
		add(v)
	}
	*x = out
}

// sign says which lengths a field takes.
type sign int

const (
	anySign sign = iota
	notNegative
	positive
)

// check compares a length with the sign, and its text too: nobody who writes
// -0mm means 0.
func (s sign) check(l geometry.Length, text string) error {
	switch {
	case s != anySign && strings.Contains(text, "-"):
		return say.Refuse(say.Failed, "", "must not be negative")
	case s == positive && l <= 0:
		return say.Refuse(say.Failed, "", "must be more than 0")
	}
	return nil
}

// measured reads a measure by what parses it, with the least of its lengths as the
// sign wants it.
func measured[T any](v value, x *T, s sign, read func(string) (T, error), least func(T) geometry.Length) {
	parse(v.pointed(), x, func(text string) (T, error) {
		m, err := read(text)
		if err == nil {
			err = s.check(least(m), text)
		}
		return m, err
	})
}

func itself(l geometry.Length) geometry.Length { return l }

func (v value) length(x *geometry.Length, s sign) { measured(v, x, s, geometry.ParseLength, itself) }

// thickness reads what materials are sold by; its pt is 1/1000 inch.
func (v value) thickness(x *geometry.Length) {
	measured(v, x, positive, geometry.ParseThickness, itself)
}

func (v value) size(x *geometry.Size, s sign) {
	measured(v, x, s, geometry.ParseSize, func(z geometry.Size) geometry.Length { return min(z.Across, z.Around) })
}

func (v value) share(x *geometry.Share, least, most geometry.Share) {
	parse(v.pointed(), x, func(text string) (geometry.Share, error) {
		s, err := geometry.ParseShare(text)
		if err == nil && (s < least || s > most || strings.Contains(text, "-")) {
			err = say.Refuse(say.Failed, "", "%s is not between %s and %s", s, least, most)
		}
		return s, err
	})
}

// inkLimit reads what inks may add up to.
func (v value) inkLimit(x *geometry.Share) { parse(v.pointed(), x, ParseInkLimit) }

// ParseInkLimit reads what inks may add up to at a place: "300%" or "300", since a
// total of inks is told in per cent and in nothing else.
func ParseInkLimit(text string) (geometry.Share, error) {
	if text = strings.TrimSpace(text); !strings.HasSuffix(text, "%") {
		text += "%"
	}
	s, err := geometry.ParseShare(text)
	if err == nil && (s < 1 || s > mostInk) {
		err = say.Refuse(say.Failed, "", "%s is not more than 0%% and at most %s", s, mostInk)
	}
	return s, err
}

// count reads a whole number from least to most.
func count[N int | int64](v value, x *N, least, most N) {
	parse(v.ungrouped(), x, func(text string) (N, error) {
		if v.quoted() {
			return 0, say.Refuse(say.Failed, "leave off the quotes", "%q is a text, not a number", text)
		}
		n, err := wholeNumber(text, int64(least), int64(most))
		if v.reader.orders && err != nil && grouped().MatchString(text) {
			mark := DecimalPoint
			if strings.Contains(text, ".") {
				mark = DecimalComma
			}
			err = say.Refuse(say.Failed, say.Hint(err)+fmt.Sprintf(", or say --decimal-mark %s if so", mark), "%s", err)
		}
		return N(n), err
	})
}

// ParseCount reads a whole number from least to most as the files' are read:
// "25000", "25,000" or "25 000". Errors know the way out.
func ParseCount(text string, least, most int64) (int64, error) {
	return wholeNumber(value{reader: &reader{marks: decimals{commas: true}}, text: text}.ungrouped().text, least, most)
}

func wholeNumber(text string, least, most int64) (int64, error) {
	digits := strings.TrimPrefix(text, "-")
	n, err := strconv.ParseInt(text, 10, 64)
	switch {
	case grouped().MatchString(text):
		whole := strings.NewReplacer(".", "", ",", "").Replace(text)
		return 0, say.Refuse(say.Failed, "write digits only, as in "+whole, "%q may be %s or a number with decimals", text, whole)
	case strings.Trim(digits, "0123456789") != "" || digits == "" || len(digits) > 1 && digits[0] == '0':
		return 0, say.Refuse(say.Failed, "write digits only, as in 25000", "%q is not a whole number", text)
	case err != nil || n < least || n > most:
		return 0, say.Refuse(say.Failed, "write a whole number in these bounds, or leave it out", "%s is not between %s and %s", text, say.Number(least), say.Number(most))
	}
	return n, nil
}

// counts reads a list of whole numbers; one alone is a list of one.
func counts(v value, x *[]int, least, most int) {
	add := func(item value) {
		n := least - 1
		if count(item, &n, least, most); n >= least {
			*x = append(*x, n)
		}
	}
	if v.isList() {
		v.each(add)
	} else {
		add(v)
	}
}

func (v value) flag(x *bool) {
	parse(v, x, func(text string) (bool, error) {
		if text != "true" && text != "false" || v.quoted() {
			return false, say.Refuse(say.Failed, "write true or false", "%q is neither true nor false", text)
		}
		return text == "true", nil
	})
}

// yes reads a flag of an order file, where people write yes and no.
func (v value) yes(x *bool) {
	parse(v, x, func(text string) (bool, error) {
		switch strings.ToLower(text) {
		case "yes", "true":
			return true, nil
		case "no", "false":
			return false, nil
		}
		return false, say.Refuse(say.Failed, "write yes or no", "%q is neither yes nor no", text)
	})
}

func (v value) isList() bool { return v.node != nil && v.node.Kind == yaml.SequenceNode }

// quoted reports whether the text stands in quotes or is a block of its own,
// which makes it a text even if it looks like a number.
func (v value) quoted() bool {
	const styles = yaml.SingleQuotedStyle | yaml.DoubleQuotedStyle | yaml.LiteralStyle | yaml.FoldedStyle
	return v.node != nil && v.node.Style&styles != 0
}

// oneOf reads one of a few words.
func oneOf[T ~string](v value, x *T, options ...T) {
	parse(v, x, func(text string) (T, error) {
		if i := slices.Index(options, T(text)); i >= 0 {
			return options[i], nil
		}
		names := make([]string, len(options))
		for i, o := range options {
			names[i] = string(o)
		}
		return "", say.Refuse(say.Failed, meant(text, names), "%q is not known here", text)
	})
}

// meant hints at the near word, or at all of them.
func meant(word string, known []string) string {
	return say.DidYouMean(word, known, "known here: "+strings.Join(known, ", "))
}

func (v value) day(x *time.Time) {
	parse(v, x, func(text string) (time.Time, error) {
		if v.node == nil {
			return cellDay(text, v.reader.form.Dates)
		}
		t, err := time.Parse(time.DateOnly, text)
		if err != nil {
			return t, say.Refuse(say.Failed, "write year-month-day, as in 2026-03-31", "%q is not a day", text)
		}
		return t, nil
	})
}
