package vary

import (
	"fmt"
	"slices"
	"strings"

	"quoin/impose/barcode"
	"quoin/impose/data"
	"quoin/impose/gs1"
	"quoin/impose/say"
)

// content is what a field says, as templates: one text, or GS1 elements, each
// with a template of its own.
type content struct {
	text   *data.Template // nil with elements
	ais    []string
	each   []*data.Template
	link   string
	symbol barcode.Kind // "" for letters
}

// newContent reads the templates of a field. GS1 data that are written as one
// text are cut at their identifiers before any cell is filled in: "A(10)B" in a
// cell stays one value. A text that begins with a cell, which may hold whole
// element strings, is cut when it is filled.
func newContent(f *Field, names []string) (*content, error) {
	c := &content{link: f.Link}
	if f.Symbol != nil {
		c.symbol = f.Symbol.Kind
	}
	list := f.Elements
	if list == nil && c.symbol.GS1() && strings.HasPrefix(f.Value, "(") {
		var err error
		if list, err = gs1.Parse(f.Value); err != nil {
			return nil, err
		}
	}
	var err error
	if list == nil {
		c.text, err = data.ParseTemplate(f.Value, names)
		return c, err
	}
	if len(list) == 1 && list[0].AI == "01" && c.link == "" && c.symbol.Item() { // the symbol is of that by itself
		c.text, err = data.ParseTemplate(list[0].Value, names)
		return c, err
	}
	if c.symbol != "" && !c.symbol.GS1() && c.link == "" {
		return nil, say.Refuse(say.Failed, "take gs1-128, gs1-databar-expanded, gs1-qr or gs1-data-matrix, or give link for a Digital Link", "a %s holds no GS1 elements", c.symbol)
	}
	if c.link != "" && (c.symbol.Linear() && c.symbol != "" || c.symbol.GS1()) {
		return nil, say.Refuse(say.Failed, "take qr or data-matrix", "a %s holds no Digital Link", c.symbol)
	}
	for _, e := range list {
		t, err := data.ParseTemplate(e.Value, names)
		if err != nil {
			return nil, err
		}
		if !gs1.Known(e.AI) {
			return nil, e.Check()
		}
		if slices.Contains(c.ais, e.AI) {
			return nil, gs1.Repeated([]gs1.Element{e, e})
		}
		c.ais, c.each = append(c.ais, e.AI), append(c.each, t)
	}
	return c, nil
}

// holdsElements reports whether the symbol takes elements instead of a text.
func (c *content) holdsElements() bool { return c.each != nil && c.symbol.GS1() }

// list returns a record's elements.
func (c *content) list(values []string) []gs1.Element {
	list := make([]gs1.Element, len(c.ais))
	for i, t := range c.each {
		list[i] = gs1.Element{AI: c.ais[i], Value: string(t.Append(nil, values))}
	}
	return list
}

// append adds a record's text. Elements that no symbol checks are checked here.
func (c *content) append(dst []byte, values []string) ([]byte, error) {
	if c.text != nil {
		return c.text.Append(dst, values), nil
	}
	list := c.list(values)
	if c.symbol.GS1() {
		return append(dst, gs1.Text(list)...), nil
	}
	for _, e := range list {
		if err := e.Check(); err != nil {
			return dst, err
		}
	}
	if c.link == "" {
		return append(dst, gs1.Text(list)...), nil
	}
	link, err := gs1.Link(c.link, list)
	return append(dst, link...), err
}

// values returns which values of the records the field shows.
func (c *content) values() (list []int) {
	for _, t := range append(c.each, c.text) {
		if t == nil {
			continue
		}
		for _, v := range t.Values() {
			if !slices.Contains(list, v) {
				list = append(list, v)
			}
		}
	}
	return list
}

// sample returns the text of a field without values.
func (c *content) sample() []byte {
	text, err := c.append(nil, nil)
	if err != nil {
		return []byte(fmt.Sprint(err))
	}
	return text
}

// elements returns the GS1 data that the field carries in one record, whatever it
// is written as; those of an EAN, a UPC and an ITF-14 are a trade item's number.
func (c *content) elements(values []string) []gs1.Element {
	if c.each != nil {
		return c.list(values)
	}
	text := string(c.text.Append(nil, values))
	switch {
	case c.symbol.GS1():
		list, _ := gs1.Parse(text) // the encoder says what is wrong
		return list
	case c.symbol == barcode.UPCE:
		text, _ = barcode.Lengthened(text) // the encoder says what is wrong
		fallthrough
	case c.isItem():
		return []gs1.Element{{AI: "01", Value: strings.Repeat("0", max(0, 14-len(text))) + text}}
	}
	return nil
}

// isItem reports whether the symbol is a trade item's number and nothing else.
func (c *content) isItem() bool {
	return c.symbol.Item()
}
