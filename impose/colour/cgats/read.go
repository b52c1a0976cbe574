package cgats

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

const (
	maxFile   = 64 << 20 // bytes of a file
	maxFields = 4096     // of a table
	shownRune = 40       // of what a message quotes
)

const again = "save or export the file again, whole"

// Read reads all tables of a file. What can't be read is an *Error.
func Read(path string) ([]*Table, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the measurements: %w", err)
	}
	defer f.Close()
	return Parse(path, f)
}

// Parse is Read from a stream; the path is for messages.
func Parse(path string, r io.Reader) ([]*Table, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	p := &parser{path: path}
	if err := p.readable(data); err != nil {
		return nil, err
	}
	for i, line := range lines(data) {
		p.line = i + 1
		if err := p.take(line); err != nil {
			return nil, err
		}
	}
	return p.done()
}

// lines splits a text at any of the three line ends in use.
func lines(data []byte) []string {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	text := strings.ReplaceAll(string(data), "\r\n", "\n")
	return strings.Split(strings.ReplaceAll(text, "\r", "\n"), "\n")
}

// readable refuses what is no text of this form, before any line is read.
func (p *parser) readable(data []byte) error {
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return p.whole("the file is empty", again)
	case len(data) > maxFile:
		return p.whole(fmt.Sprintf("the file is larger than %d MiB", maxFile>>20), "split it")
	case bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")):
		return p.whole("the file is in UTF-16", "save it as UTF-8 or plain ASCII")
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return p.whole("the file is a spreadsheet or an archive", "export it as a text table in the form of ISO 28178")
	case bytes.HasPrefix(bytes.TrimSpace(data), []byte("<")):
		return p.whole("the file is XML", "export it as a text table in the form of ISO 28178")
	case bytes.IndexByte(data, 0) >= 0:
		return p.whole("the file holds zero bytes; it is no text", again)
	}
	return nil
}

// parser reads a file line by line.
type parser struct {
	path   string
	line   int
	part   part
	now    *Table
	fields int // as NUMBER_OF_FIELDS says; -1 unsaid
	sets   int // as NUMBER_OF_SETS says; -1 unsaid
	tables []*Table
}

// part is what the parser is within.
type part byte

const (
	header part = iota
	format
	rows
)

func (p *parser) whole(text, way string) error { return &Error{Path: p.path, Text: text, Way: way} }

func (p *parser) fault(field, way, text string, args ...any) error {
	return &Error{Path: p.path, Line: p.line, Field: field, Text: fmt.Sprintf(text, args...), Way: way}
}

// take reads one line.
func (p *parser) take(line string) error {
	words, err := p.split(line)
	if err != nil || len(words) == 0 {
		return err
	}
	if p.now == nil {
		p.now, p.fields, p.sets = &Table{Path: p.path}, -1, -1
		if len(p.tables) > 0 { // later tables share the file's head
			p.now.Form, p.now.Headers = p.tables[0].Form, slices.Clone(p.tables[0].Headers)
			p.now.Fields = p.tables[len(p.tables)-1].Fields
		}
	}
	switch p.part {
	case format:
		return p.takeFields(words)
	case rows:
		return p.takeRow(line, words)
	default:
		return p.takeKeyword(words)
	}
}

// split cuts a line into words. Quotes hold words with spaces together; a #
// that begins a word begins a comment.
func (p *parser) split(line string) ([]string, error) {
	var words []string
	for rest := strings.TrimLeft(line, " \t"); rest != "" && rest[0] != '#'; rest = strings.TrimLeft(rest, " \t") {
		if rest[0] == '"' {
			word, after, closed := strings.Cut(rest[1:], `"`)
			for closed && strings.HasPrefix(after, `"`) { // a doubled quote is one of the text's
				more, beyond, ok := strings.Cut(after[1:], `"`)
				word, after, closed = word+`"`+more, beyond, ok
			}
			if !closed {
				return nil, p.fault("", "close the quotes on the line that opens them", "quotes are opened and not closed")
			}
			words, rest = append(words, word), after
			continue
		}
		end := strings.IndexAny(rest, " \t")
		if end < 0 {
			end = len(rest)
		}
		words, rest = append(words, rest[:end]), rest[end:]
	}
	return words, nil
}

func (p *parser) takeKeyword(words []string) error {
	value := ""
	if len(words) > 1 {
		value = strings.Join(words[1:], " ")
	}
	switch name := strings.ToUpper(words[0]); name {
	case "BEGIN_DATA_FORMAT":
		p.part, p.now.Fields = format, nil
		return p.takeFields(words[1:])
	case "BEGIN_DATA":
		return p.beginRows(words[1:])
	case "END_DATA", "END_DATA_FORMAT":
		return p.fault("", again, "%s without its beginning", name)
	case "NUMBER_OF_FIELDS":
		return p.count(value, name, &p.fields)
	case "NUMBER_OF_SETS":
		return p.count(value, name, &p.sets)
	case "KEYWORD": // only says that a name will be used
	default:
		if len(words) == 1 && len(p.now.Headers) == 0 && p.now.Form == "" {
			p.now.Form = words[0]
			return nil
		}
		if !utf8.ValidString(value) {
			value = strings.ToValidUTF8(value, "?")
		}
		p.now.Headers = append(p.now.Headers, Keyword{words[0], value, p.line})
	}
	return nil
}

func (p *parser) count(value, name string, into *int) error {
	n, err := strconv.Atoi(value)
	if err != nil || n < 0 {
		return p.fault(name, "write a whole number, or leave the line out", "%q is no count", shown(value))
	}
	*into = n
	return nil
}

func (p *parser) takeFields(words []string) error {
	for i, w := range words {
		w = strings.ToUpper(w)
		switch {
		case w == "END_DATA_FORMAT":
			p.part = header
			if len(words) > i+1 {
				return p.fault("", again, "%q behind END_DATA_FORMAT", shown(words[i+1]))
			}
			return p.checkFields()
		case w == "BEGIN_DATA" || w == "NUMBER_OF_SETS":
			return p.fault("", again, "%s within the list of fields, which has no END_DATA_FORMAT", w)
		case slices.Contains(p.now.Fields, w):
			return p.fault(shown(w), "name each field once", "the list names the field twice")
		case len(p.now.Fields) == maxFields:
			return p.fault("", again, "more than %d fields", maxFields)
		}
		p.now.Fields = append(p.now.Fields, w)
	}
	return nil
}

func (p *parser) checkFields() error {
	n := len(p.now.Fields)
	if n == 0 {
		return p.fault("", again, "the list of fields is empty")
	}
	if p.fields >= 0 && p.fields != n {
		return p.fault("NUMBER_OF_FIELDS", "correct the count or the list", "it says %d, and the list has %d", p.fields, n)
	}
	return nil
}

func (p *parser) beginRows(words []string) error {
	if len(p.now.Fields) == 0 {
		return p.fault("", again, "BEGIN_DATA without a list of fields before it")
	}
	if len(words) > 0 {
		return p.fault("", "begin the first row on a line of its own", "%q behind BEGIN_DATA", shown(words[0]))
	}
	p.part = rows
	return nil
}

func (p *parser) takeRow(line string, words []string) error {
	if w := strings.ToUpper(words[0]); w == "END_DATA" || w == "BEGIN_DATA" {
		if w == "BEGIN_DATA" {
			return p.fault("", again, "BEGIN_DATA within the rows, which have no END_DATA")
		}
		return p.endRows()
	}
	fields := p.now.Fields
	// A name with spaces needs no quotes where tabs part the values.
	if cells := strings.Split(strings.TrimRight(line, "\t "), "\t"); len(cells) == len(fields) && len(words) != len(fields) {
		words = cells
		for i := range words {
			words[i] = strings.Trim(strings.TrimSpace(words[i]), `"`)
		}
	}
	switch {
	case len(words) < len(fields):
		return p.fault(shown(fields[len(words)]), again, "the row has %d values for %d fields; this one is missing, or one before it", len(words), len(fields))
	case len(words) > len(fields):
		return p.fault("", `put text with spaces in quotes; write numbers without spaces`, "the row has %d values for %d fields", len(words), len(fields))
	}
	p.now.Rows = append(p.now.Rows, Row{p.line, words})
	return nil
}

func (p *parser) endRows() error {
	if n := len(p.now.Rows); p.sets >= 0 && p.sets != n {
		return p.fault("NUMBER_OF_SETS", again, "it says %d, and there are %d rows", p.sets, n)
	}
	if len(p.now.Rows) == 0 {
		return p.fault("", again, "the table has no rows")
	}
	p.tables = append(p.tables, p.now)
	p.now, p.part = nil, header
	return nil
}

// done returns the tables, once the file is at its end.
func (p *parser) done() ([]*Table, error) {
	switch {
	case p.part == format:
		return nil, p.fault("", again, "the file ends within the list of fields")
	case p.part == rows:
		return nil, p.fault("", again, "the file ends within the rows, after %d of them; END_DATA is missing", len(p.now.Rows))
	case len(p.tables) == 0:
		return nil, p.whole("no BEGIN_DATA: it is no table in the form of ISO 28178", "export the measurements as CGATS text")
	}
	return p.tables, nil
}

// shown shortens what a message quotes.
func shown(s string) string {
	s = strings.ToValidUTF8(s, "?")
	if r := []rune(s); len(r) > shownRune {
		return string(r[:shownRune]) + "..."
	}
	return s
}
