package job

import (
	"go.yaml.in/yaml/v4"

	"quoin/impose/say"
)

// OrderForm says how an order file is written, where its sales system has other
// habits than ours. What is left empty is found out from the file, or refused
// where that can't be told.
type OrderForm struct {
	Columns     map[string]string // the file's own names of our columns: "quantity" is "Menge"
	Dates       DateForm          // of dates that may be read in two ways
	DecimalMark DecimalMark
	Encoding    string // one of Encodings; of CSV without a byte order mark
	Sheet       string // of a workbook; empty: the only one that lists orders
	Header      int    // line, or row, that holds the columns' names; 0: the first that has those that are needed
}

// DateForm says in which order a date has its parts.
type DateForm string

// The forms of dates. Their parts may be parted by slashes, points or hyphens.
const (
	DayFirst   DateForm = "d/m/y"
	MonthFirst DateForm = "m/d/y"
	YearFirst  DateForm = "y/m/d"
)

// DecimalMark is the sign before the decimals of a number.
type DecimalMark string

// The decimal marks; the other one parts thousands.
const (
	DecimalPoint DecimalMark = "point"
	DecimalComma DecimalMark = "comma"
)

var orderFormKeys = []field[OrderForm]{
	{key: "columns", read: readOrderColumns},
	{key: "dates", read: func(f *OrderForm, v value) { oneOf(v, &f.Dates, DayFirst, MonthFirst, YearFirst) }},
	{key: "decimal-mark", read: func(f *OrderForm, v value) { oneOf(v, &f.DecimalMark, DecimalPoint, DecimalComma) }},
	{key: "encoding", read: func(f *OrderForm, v value) { oneOf(v, &f.Encoding, Encodings()...) }},
	{key: "sheet", read: func(f *OrderForm, v value) { v.str(&f.Sheet) }},
	{key: "header", read: func(f *OrderForm, v value) { count(v, &f.Header, 1, maxPages) }},
}

// readOrderColumns reads a map from our columns to the file's.
func readOrderColumns(f *OrderForm, v value) {
	var table []field[map[string]string]
	for _, key := range keysOf(orderKeys) {
		table = append(table, field[map[string]string]{key: key, read: func(m *map[string]string, v value) {
			var name string
			if v.str(&name); name == "" {
				return
			}
			for ours, theirs := range *m {
				if say.Fold(theirs) == say.Fold(name) {
					v.fault("the column is "+ours+" already", "give each column one meaning")
				}
			}
			(*m)[key] = name
		}})
	}
	f.Columns = map[string]string{}
	if v.node != nil && v.node.Kind == yaml.MappingNode || v.node == nil {
		readMap(v, &f.Columns, table)
		return
	}
	v.fault("holds "+kindName(v.node)+" where a map belongs", `write ours first: {order: "Auftrag", quantity: "Menge"}`)
}

// theirs names a column as the file does, for messages.
func (f *OrderForm) theirs(key string) string {
	if name := f.Columns[key]; name != "" {
		return name
	}
	return key
}

// ours returns the column that a file's name stands for.
func (f *OrderForm) ours(name string) string {
	folded := say.Fold(name)
	for ours, theirs := range f.Columns {
		if say.Fold(theirs) == folded {
			return ours
		}
	}
	if f.Columns[folded] != "" {
		return "" // another column of the file is that
	}
	return folded
}
