package job

import (
	"fmt"

	"quoin/geometry"
)

// maxCounter keeps sums of counters far from the end of 64 bits.
const maxCounter = 1_000_000_000_000_000

var dataKeys = []field[Data]{
	{key: "file", read: func(d *Data, v value) { v.str(&d.File) }},
	{key: "count", read: func(d *Data, v value) { count(v, &d.Count, 1, maxQuantity) }},
	{key: "check-digits", read: func(d *Data, v value) { readItems(v, &d.Digits, digitKeys) }},
	{key: "counters", read: readCounters},
	{key: "order", read: func(d *Data, v value) { oneOf(v, &d.Order, OrderLanes, OrderAcross) }},
	{key: "spare", read: func(d *Data, v value) { oneOf(v, &d.Spare, SpareBlank, SpareVoid, SpareRepeat) }},
	{key: "device-dpi", read: func(d *Data, v value) { v.dpi(&d.DPI) }},
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
	{key: "value", need: true, read: func(f *Field, v value) { v.str(&f.Value) }},
	{key: "at", need: true, read: func(f *Field, v value) { v.size(&f.At, notNegative) }},
	{key: "turn", read: func(f *Field, v value) { v.turn(&f.Turn) }},
	{key: "ink", read: func(f *Field, v value) { v.str(&f.Ink) }},
	{key: "overprint", read: func(f *Field, v value) { v.flag(&f.Overprint) }},
	{key: "symbol", read: func(f *Field, v value) {
		oneOf(v, &f.Symbol, "ean-13", "ean-8", "upc-a", "itf-14", "code-128", "gs1-128", "qr", "gs1-qr", "data-matrix", "gs1-data-matrix")
	}},
	{key: "module", read: func(f *Field, v value) { v.length(&f.Module, positive) }},
	{key: "height", read: func(f *Field, v value) { v.length(&f.Height, positive) }},
	{key: "level", read: func(f *Field, v value) { oneOf(v, &f.Level, "L", "M", "Q", "H") }},
	{key: "modules", read: func(f *Field, v value) { count(v, &f.Modules, 1, 177) }},
	{key: "plain", read: func(f *Field, v value) { v.flag(&f.Plain) }},
	{key: "warehouse", read: func(f *Field, v value) { v.flag(&f.Warehouse) }},
	{key: "font", read: func(f *Field, v value) { oneOf(v, &f.Font, "regular", "bold", "mono") }},
	{key: "cap", read: func(f *Field, v value) { v.length(&f.Cap, positive) }},
	{key: "width", read: func(f *Field, v value) { v.length(&f.Width, positive) }},
	{key: "align", read: func(f *Field, v value) { oneOf(v, &f.Align, "left", "centre", "right") }},
	{key: "fit", read: func(f *Field, v value) { oneOf(v, &f.Fit, "refuse", "shrink", "squeeze") }},
	{key: "least", read: func(f *Field, v value) { v.length(&f.Least, positive) }},
	{key: "least-width", read: func(f *Field, v value) { v.share(&f.LeastWidth, geometry.Percent, geometry.Whole) }},
}

func readFields(j *jobFile, v value) {
	v.each(func(item value) {
		f := Field{Ink: "Black"}
		item.note()
		readMap(item, &f, fieldKeys)
		j.Fields = append(j.Fields, f)
	})
}

// data checks what several keys of variable data say together. What only the
// records can tell is for the run to find out.
func (c *check) data() {
	d := c.Data
	switch {
	case d == nil && len(c.Fields) > 0:
		c.bad("fields", "need records", "say where they come from with data: a file, or a count and counters")
	case d == nil:
		return
	case len(c.Fields) == 0:
		c.bad("data", "is printed nowhere", "add fields")
	case (d.File == "") == (d.Count == 0):
		c.bad("data", "needs a file or a count, one of the two", "")
	}
	for i, f := range c.Fields {
		key := fmt.Sprintf("fields[%d]", i)
		if f.Symbol == "" && (f.Cap == 0 || f.Width == 0) {
			c.bad(key, "is text without its size", "give cap, the height of capitals, and width, the room along the line")
		}
		if f.Fit == "shrink" && f.Least == 0 {
			c.bad(key+".fit", "shrinking needs an end", "give least, the least height of capitals")
		}
	}
}
