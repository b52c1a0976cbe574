package job

import "quoin/geometry"

// ReadOrders reads an order file, as YAML or, when the path ends in .csv, as
// CSV. Its faults come as one *FileError beside the orders that have none, each
// with its order in Fault.Record; when the columns themselves are not
// understood, there are no orders.
func ReadOrders(path string) ([]Order, error) {
	data, err := load(path, maxListBytes)
	if err != nil {
		return nil, err
	}
	return ParseOrders(path, data)
}

// ParseOrders is ReadOrders for a file that is in memory already.
func ParseOrders(path string, data []byte) ([]Order, error) { return orderFile.parse(path, data) }

var orderFile = records[Order]{
	list: "orders", id: "order", table: orderKeys,
	start:  func() Order { return Order{Page: 1} },
	name:   func(o *Order) string { return o.ID },
	origin: func(o *Order) *source { return &o.source },
	// Whether the label's size is known is for the planner to say: a command line may give it.
	check: func(*Order, value) {},
}

var orderKeys = []field[Order]{
	{key: "order", need: true, read: func(o *Order, v value) { v.str(&o.ID) }},
	{key: "product", read: func(o *Order, v value) { v.str(&o.Product) }},
	{key: "artwork", read: func(o *Order, v value) { v.str(&o.Artwork) }},
	{key: "page", read: func(o *Order, v value) { count(v, &o.Page, 1, maxPages) }},
	{key: "quantity", need: true, read: func(o *Order, v value) { count(v, &o.Quantity, 1, maxQuantity) }},
	{key: "label", read: func(o *Order, v value) { v.size(&o.Label, positive) }},
	{key: "die", read: func(o *Order, v value) { v.str(&o.Die) }},
	{key: "material", read: func(o *Order, v value) { v.str(&o.Material) }},
	{key: "inks", read: func(o *Order, v value) { v.strs(&o.Inks) }},
	{key: "winding", read: func(o *Order, v value) { optional(&o.Winding, v.winding) }},
	{key: "labels-per-roll", read: func(o *Order, v value) { count(v, &o.LabelsPerRoll, 1, maxQuantity) }},
	{key: "overs", read: func(o *Order, v value) {
		optional(&o.Overs, func(x *geometry.Share) { v.share(x, 0, geometry.Whole) })
	}},
	{key: "due", read: func(o *Order, v value) { v.day(&o.Due) }},
	{key: "priority", read: func(o *Order, v value) { count(v, &o.Priority, -1000, 1000) }},
	{key: "flags", read: readFlags},
}

// orderFlag is a word in the flags of an order.
type orderFlag string

func readFlags(o *Order, v value) {
	var words []string
	v.strs(&words)
	for _, w := range words {
		item := v
		item.node, item.text = nil, w
		var f orderFlag
		switch oneOf(item, &f, "drug-label", "alone", "no-split"); f {
		case "drug-label":
			o.DrugLabel = true
		case "alone":
			o.Alone = true
		case "no-split":
			o.NoSplit = true
		}
	}
}
