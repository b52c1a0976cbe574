package job

import (
	"errors"
	"fmt"
	"reflect"
	"slices"

	"go.yaml.in/yaml/v4"

	"quoin/geometry"
	"quoin/impose/say"
)

// OrderList is what an order file says.
type OrderList struct {
	Orders []Order // those that have no fault
	Bad    []Fault // why others are not among them, each with its order in Record where that is known
	Words  []Fault // what people should know though nothing is wrong, such as columns that are ignored
}

// ReadList reads an order file of this form: CSV (.csv, .tsv, .txt), a workbook
// (.xlsx) or YAML. What is wrong with one order is listed and costs no other; an
// error means that the file can't be read or, as a *FileError, that as a whole it
// is not understood.
func (f OrderForm) ReadList(path string) (*OrderList, error) {
	data, err := load(path, maxListBytes)
	if err != nil {
		return nil, err
	}
	orders, words, err := orderFile.parse(path, data, f)
	if err == nil {
		return &OrderList{orders, nil, words}, nil
	}
	if bad, ok := errors.AsType[*FileError](err); ok && !bad.Whole {
		return &OrderList{orders, bad.Faults, words}, nil
	}
	return nil, err
}

// Lists reports whether a file that is written in this form is an order file: a
// table, or one sheet of a workbook, that has the columns every order needs, or
// YAML with a list of orders. Of a table the first rows are enough.
func (f OrderForm) Lists(path string, data []byte) bool {
	c := collector[Order]{kind: orderFile}
	switch kindOf(path, data) {
	case workbook:
		c.reader = newReader(path, nil)
		if c.reader.form = f; !c.readSheet(data) {
			return false
		}
	case table:
		text, _ := decoded(data, f.Encoding)
		c.reader = newReader(path, text)
		c.reader.form = f
	default:
		c.reader = newReader(path, data)
		root, ok := c.reader.root()
		return ok && slices.ContainsFunc(pairs(root.node), func(p [2]*yaml.Node) bool {
			return p[0].Value == orderFile.list && p[1].Kind == yaml.SequenceNode
		})
	}
	_, _, ok := c.named(c.rows())
	return ok
}

// pairs returns the keys of a mapping with their values; none of another node.
func pairs(node *yaml.Node) (list [][2]*yaml.Node) {
	if node.Kind != yaml.MappingNode {
		return nil
	}
	for i := 0; i+1 < len(node.Content); i += 2 {
		list = append(list, [2]*yaml.Node{node.Content[i], node.Content[i+1]})
	}
	return list
}

// ParseOrders returns the orders of a file that is in memory. Its faults come as one
// *FileError beside the orders that have none; when the file as such is not
// understood, there are no orders.
func ParseOrders(path string, data []byte) ([]Order, error) {
	orders, _, err := orderFile.parse(path, data, OrderForm{})
	return orders, err
}

var orderFile = records[Order]{
	list: "orders", id: "order", table: orderKeys,
	start:  func() Order { return Order{Page: 1} },
	name:   func(o *Order) string { return o.ID },
	origin: func(o *Order) *source { return &o.source },
	// Whether the label's size is known is for the planner to say: a command line may give it.
	check: func(*Order, value) {},
	same: func(a, b *Order) bool {
		x, y := *a, *b
		x.source, y.source = source{}, source{}
		return reflect.DeepEqual(x, y)
	},
	extra: true, ignorable: notOfFlags, decimals: []string{"label", "overs"}, counts: []string{"quantity", "labels-per-roll"},
}

// notOfFlags objects to an ignored cell that may be meant as a flag: a drug
// label must not be ganged because its column was misspelt.
func notOfFlags(column, text string) (why, hint string) {
	if say.Nearest(column, keysOf(orderKeys)) != "flags" && say.Fold(text) != drugLabel {
		return "", ""
	}
	return fmt.Sprintf("the column %q is ignored, but says %q here", shortened(column), shortened(text)), "did you mean the column flags?"
}

var orderKeys = []field[Order]{
	{key: "order", need: true, read: readOrderID},
	{key: "product", read: func(o *Order, v value) { v.str(&o.Product) }},
	{key: "artwork", read: func(o *Order, v value) { v.str(&o.Artwork) }},
	{key: "page", read: func(o *Order, v value) { count(v, &o.Page, 1, maxPages) }},
	{key: "quantity", need: true, read: func(o *Order, v value) { count(v, &o.Quantity, 1, maxQuantity) }},
	{key: "label", read: func(o *Order, v value) { v.size(&o.Label, positive) }},
	{key: "die", read: func(o *Order, v value) { v.str(&o.Die) }},
	{key: "material", read: func(o *Order, v value) { v.str(&o.Material) }},
	{key: "inks", read: func(o *Order, v value) { v.strs(&o.Inks) }},
	{key: "winding", read: func(o *Order, v value) { maybe(v, &o.Winding, geometry.ParseWinding) }},
	{key: "labels-per-roll", read: func(o *Order, v value) { count(v, &o.LabelsPerRoll, 1, maxQuantity) }},
	{key: "splices", read: func(o *Order, v value) { optional(&o.Splices, v.yes) }},
	{key: "overs", read: func(o *Order, v value) { maybeShare(v, &o.Overs) }},
	{key: "due", read: func(o *Order, v value) { v.day(&o.Due) }},
	{key: "priority", read: func(o *Order, v value) { count(v, &o.Priority, -1000, 1000) }},
	{key: "flags", read: readFlags},
	{key: "password", read: func(o *Order, v value) { v.str(&o.Password) }},
	{key: "permitted-by", read: func(o *Order, v value) { v.str(&o.PermittedBy) }},
}

// readOrderID refuses what spreadsheets make of long numbers: different orders
// would get one name.
func readOrderID(o *Order, v value) {
	if v.node == nil && roundedID().MatchString(v.text) {
		v.fault(fmt.Sprintf("%q is a number that a spreadsheet has rounded", v.text), "export the column as text")
		return
	}
	v.str(&o.ID)
}

var roundedID = pattern(`^[0-9](?:[.,][0-9]+)?[eE]\+?[0-9]+$`)

// orderFlag is a word in the flags of an order.
type orderFlag string

const drugLabel = "drug-label"

func readFlags(o *Order, v value) {
	var words []string
	v.strs(&words)
	for _, w := range words {
		item := v
		item.node, item.text = nil, w
		if v.node == nil {
			item.text = say.Fold(w) // what a person typed into a cell: Drug Label
		}
		var f orderFlag
		switch oneOf(item, &f, drugLabel, "alone", "no-split"); f {
		case drugLabel:
			o.DrugLabel = true
		case "alone":
			o.Alone = true
		case "no-split":
			o.NoSplit = true
		}
	}
}
