package job

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"

	"quoin/geometry"
)

// maxCounter keeps sums of counters far from the end of 64 bits.
const maxCounter = 1_000_000_000_000_000

var dataKeys = []field[Data]{
	{key: "file", read: func(d *Data, v value) { v.str(&d.File) }},
	{key: "count", read: func(d *Data, v value) { count(v, &d.Count, 1, maxQuantity) }},
	{key: "check-digits", read: func(d *Data, v value) { readItems(v, &d.Digits, digitKeys) }},
	{key: "counters", read: readCounters},
	{key: "random-codes", read: func(d *Data, v value) {
		readItems(v, &d.Randoms, randomKeys)
	}},
	{key: "artwork", read: func(d *Data, v value) { v.str(&d.Artwork) }},
	{key: "copies", read: readCopies},
	{key: "records", read: readRange},
	{key: "order", read: func(d *Data, v value) { oneOf(v, &d.Order, OrderLanes, OrderAcross) }},
	{key: "spare", read: func(d *Data, v value) { oneOf(v, &d.Spare, SpareBlank, SpareVoid, SpareRepeat) }},
	{key: "device-dpi", read: func(d *Data, v value) { readDevice(v, &d.DPI, &d.Around) }},
	{key: "unique", read: readUnique},
	{key: "change-over", read: func(d *Data, v value) {
		c := ChangeOver{Labels: 1}
		readMap(v, &c, changeOverKeys)
		d.ChangeOver = &c
	}},
	{key: "bar-width-reductions", read: func(d *Data, v value) { readItems(v, &d.Reductions, reductionKeys) }},
}

var changeOverKeys = []field[ChangeOver]{
	{key: "labels", read: func(c *ChangeOver, v value) { count(v, &c.Labels, 1, 1000) }},
	{key: "artwork", read: func(c *ChangeOver, v value) { v.str(&c.Artwork) }},
	{key: "fields", read: func(c *ChangeOver, v value) { readFields(&c.Fields, v) }},
}

var reductionKeys = []field[Reduction]{
	{key: "ink", need: true, read: func(r *Reduction, v value) { v.str(&r.Ink) }},
	{key: "dots", need: true, read: func(r *Reduction, v value) { count(v, &r.Dots, 0, 100) }},
}

// readUnique reads names, or none.
func readUnique(d *Data, v value) {
	switch v.strs(&d.Unique); {
	case len(d.Unique) == 0:
		v.fault("names nothing", "name columns and counters, or write none")
	case len(d.Unique) == 1 && d.Unique[0] == "none":
		d.Unique = []string{}
	}
}

// readElements reads identifiers and their values, in the order written.
func readElements(f *Field, v value) {
	if v.node.Kind != yaml.MappingNode {
		v.fault("holds "+kindName(v.node)+" where identifiers with values belong", `write it as in {01: "{gtin}", 21: "{serial}"}`)
		return
	}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		ai, item := v.node.Content[i].Value, v.inner(joined(v.key, v.node.Content[i].Value), v.node.Content[i+1])
		e := Element{AI: ai}
		item.note()
		if item.str(&e.Value); e.Value != "" {
			f.Elements = append(f.Elements, e)
		}
	}
}

var digitKeys = []field[DataDigits]{
	{key: "column", need: true, read: func(d *DataDigits, v value) { v.str(&d.Column) }},
	{key: "scheme", need: true, read: func(d *DataDigits, v value) { oneOf(v, &d.Scheme, SchemeGS1, SchemeLuhn) }},
	{key: "add", read: func(d *DataDigits, v value) { v.flag(&d.Add) }},
}

var counterKeys = []field[Counter]{
	{key: "name", need: true, read: func(c *Counter, v value) { v.str(&c.Name) }},
	{key: "start", read: func(c *Counter, v value) { count(v, &c.Start, 0, maxCounter) }},
	{key: "step", read: func(c *Counter, v value) { count(v, &c.Step, -maxCounter, maxCounter) }},
	{key: "digits", read: func(c *Counter, v value) { count(v, &c.Digits, 1, 30) }},
	{key: "check-digit", read: func(c *Counter, v value) { oneOf(v, &c.Check, SchemeGS1, SchemeLuhn) }},
	{key: "alphabet", read: func(c *Counter, v value) { readAlphabet(v, &c.Letters) }},
}

var randomKeys = []field[Random]{
	{key: "name", need: true, read: func(r *Random, v value) { v.str(&r.Name) }},
	{key: "length", need: true, read: func(r *Random, v value) { count(v, &r.Length, 1, 62) }},
	{key: "alphabet", read: func(r *Random, v value) { readAlphabet(v, &r.Letters) }},
	{key: "seed", read: func(r *Random, v value) { v.str(&r.Seed) }},
	{key: "key-file", read: func(r *Random, v value) { v.str(&r.Key) }},
	{key: "start", read: func(r *Random, v value) { count(v, &r.Start, 0, maxCounter) }},
}

// readAlphabet reads the name of an alphabet, or its letters.
func readAlphabet(v value, x *string) {
	v.str(x)
	switch *x {
	case "decimal":
		*x = "0123456789"
	case "hexadecimal":
		*x = "0123456789ABCDEF"
	case "base36":
		*x = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	case "clear":
		*x = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
	}
}

// readCopies reads how often each record is printed, or the column that says so.
func readCopies(d *Data, v value) {
	var text string
	if v.str(&text); strings.HasPrefix(text, "{") && strings.HasSuffix(text, "}") {
		d.CopiesBy = strings.TrimSpace(text[1 : len(text)-1])
		return
	}
	count(v, &d.Copies, 1, 1_000_000)
}

// readRange reads which records are printed, as "1001-2000" or "1001-".
func readRange(d *Data, v value) {
	var text string
	v.str(&text)
	from, to, ranged := strings.Cut(text, "-")
	first, err := strconv.ParseInt(strings.TrimSpace(from), 10, 64)
	last := first
	if to = strings.TrimSpace(to); ranged && to == "" {
		last = 0
	} else if ranged && err == nil {
		last, err = strconv.ParseInt(to, 10, 64)
	}
	if err != nil || first < 1 || last != 0 && last < first {
		v.fault(strconv.Quote(text)+" is no range of records", "write it as 1001-2000, or 1001- for all from there on")
		return
	}
	d.First, d.Last = first, last
}

func readCounters(d *Data, v value) {
	v.each(func(item value) {
		c := Counter{Start: 1, Step: 1}
		item.note()
		readMap(item, &c, counterKeys)
		d.Counters = append(d.Counters, c)
	})
}

var fieldKeys = []field[Field]{
	{key: "name", read: func(f *Field, v value) { v.str(&f.Name) }},
	{key: "value", read: func(f *Field, v value) { v.str(&f.Value) }},
	{key: "picture", read: func(f *Field, v value) {
		v.str(&f.Value)
		f.Picture = true
	}},
	{key: "gs1", read: readElements},
	{key: "link", read: func(f *Field, v value) { v.str(&f.Link) }},
	{key: "at", need: true, read: func(f *Field, v value) { v.size(&f.At, notNegative) }},
	{key: "turn", read: func(f *Field, v value) { parse(v, &f.Turn, parseTurn) }},
	{key: "ink", read: func(f *Field, v value) { v.str(&f.Ink) }},
	{key: "overprint", read: func(f *Field, v value) { v.flag(&f.Overprint) }},
	{key: "symbol", read: func(f *Field, v value) {
		oneOf(v, &f.Symbol, symbols...)
	}},
	{key: "module", read: func(f *Field, v value) { v.length(&f.Module, positive) }},
	{key: "height", read: func(f *Field, v value) { v.length(&f.Height, positive) }},
	{key: "level", read: func(f *Field, v value) { oneOf(v, &f.Level, "L", "M", "Q", "H") }},
	{key: "modules", read: func(f *Field, v value) { count(v, &f.Modules, 1, 177) }},
	{key: "shape", read: func(f *Field, v value) { oneOf(v, &f.Shape, "square", "rectangular") }},
	{key: "plain", read: func(f *Field, v value) { v.flag(&f.Plain) }},
	{key: "warehouse", read: func(f *Field, v value) { v.flag(&f.Warehouse) }},
	{key: "health-care", read: func(f *Field, v value) { v.flag(&f.HealthCare) }},
	{key: "font", read: readFont},
	{key: "leading", read: func(f *Field, v value) { v.length(&f.Leading, positive) }},
	{key: "cap", read: func(f *Field, v value) { v.length(&f.Cap, positive) }},
	{key: "width", read: func(f *Field, v value) { v.length(&f.Width, positive) }},
	{key: "align", read: func(f *Field, v value) { oneOf(v, &f.Align, "left", "centre", "right", "start", "end") }},
	{key: "fit", read: func(f *Field, v value) { oneOf(v, &f.Fit, "refuse", "shrink", "squeeze", "whole", "fill") }},
	{key: "least", read: func(f *Field, v value) { v.length(&f.Least, positive) }},
	{key: "least-width", read: func(f *Field, v value) { v.share(&f.LeastWidth, geometry.Percent, geometry.Whole) }},
}

// symbols are the kinds of barcodes.
var symbols = []string{
	"ean-13", "ean-8", "upc-a", "upc-e", "itf-14", "code-39", "code-128", "gs1-128", "gs1-databar", "gs1-databar-truncated", "gs1-databar-limited",
	"gs1-databar-expanded", "gs1-databar-stacked", "gs1-databar-stacked-omni", "qr", "gs1-qr", "data-matrix", "gs1-data-matrix", "pdf417", "aztec",
}

// readFont reads the name of a font that is built in, or font files.
func readFont(f *Field, v value) {
	v.strs(&f.Fonts)
	for _, file := range f.Fonts {
		switch strings.ToLower(filepath.Ext(file)) {
		case ".ttf", ".otf", ".ttc", ".otc":
		default:
			f.Fonts = nil
			oneOf(v, &f.Font, "regular", "bold", "mono")
			return
		}
	}
}

func readFields(fields *[]Field, v value) {
	v.each(func(item value) {
		f := Field{Ink: "Black"}
		item.note()
		before := len(v.reader.faults)
		readMap(item, &f, fieldKeys)
		switch {
		case len(v.reader.faults) > before:
		case f.Value == "" && len(f.Elements) == 0:
			item.missing("value")
		case f.Value != "" && len(f.Elements) > 0:
			item.fault("has a value and gs1", "keep one of the two")
		}
		*fields = append(*fields, f)
	})
}

// pictureFits are the ways to fit a picture into its room.
var pictureFits = map[string]bool{"whole": true, "fill": true}

// data checks what several keys of variable data say together. What only the
// records can tell is for the run to find out.
func (c *check) data() {
	d := c.job.Data
	switch {
	case d == nil && len(c.job.Fields) > 0:
		c.bad("fields", "need records", "say where they come from with data: a file, or a count and counters")
	case d == nil:
		return
	case len(c.job.Fields) == 0 && d.Artwork == "":
		c.bad("data", "is printed nowhere", "add fields")
	case (d.File == "") == (d.Count == 0):
		c.bad("data", "needs a file or a count, one of the two", "")
	}
	var randoms []Random
	if d != nil {
		randoms = d.Randoms
	}
	for i, r := range randoms {
		if (r.Seed == "") == (r.Key == "") {
			c.bad(fmt.Sprintf("data.random-codes[%d]", i), "needs a seed or a key-file, one of the two", "a key that nobody can guess: openssl rand -hex 32 > codes.key")
		}
	}
	c.varied("fields", c.job.Fields)
	if d != nil && d.ChangeOver != nil {
		c.varied("data.change-over.fields", d.ChangeOver.Fields)
	}
}

// varied checks what the keys of fields say together.
func (c *check) varied(list string, fields []Field) {
	for i, f := range fields {
		key := fmt.Sprintf("%s[%d]", list, i)
		switch {
		case f.Link != "" && len(f.Elements) == 0:
			c.bad(key+".link", "is made of GS1 data", `give gs1: {01: "{gtin}", 21: "{serial}"}`)
		case f.Link != "" && f.Symbol != "" && f.Symbol != "qr" && f.Symbol != "data-matrix":
			c.bad(key+".link", "is an address, which a "+f.Symbol+" doesn't hold", "print it as a qr or a data-matrix")
		}
		if f.Picture {
			if f.Width == 0 || f.Height == 0 || f.Symbol != "" || f.Cap != 0 || f.Link != "" {
				c.bad(key, "is a picture, which has a place, a width and a height", "give it those, and what else is printed a field of its own")
			}
			if f.Fit != "" && !pictureFits[f.Fit] {
				c.bad(key+".fit", "is for text", "let a picture be whole, or fill its room")
			}
			continue
		}
		if pictureFits[f.Fit] {
			c.bad(key+".fit", "is for pictures", "let text refuse, shrink or squeeze")
		}
		if f.Symbol == "" && (f.Cap == 0 || f.Width == 0) {
			c.bad(key, "is text without its size", "give cap, the height of capitals, and width, the room along the line")
		}
		if f.Fit == "shrink" && f.Least == 0 {
			c.bad(key+".fit", "shrinking needs an end", "give least, the least height of capitals")
		}
	}
}
