package report

import (
	"fmt"
	"strings"

	"quoin/impose/night"
	"quoin/impose/say"
)

// told is what reports say of several orders alike.
type told struct {
	Orders     []string // as in the notes; "" for a line of the order file that names none
	Code, Text string
}

// together puts notes that say the same of several orders into one each, in the
// order in which they are first said.
func together(notes []night.Note) []told {
	type said struct{ code, text string }
	var out []told
	at := map[said]int{}
	for _, n := range notes {
		key := said{n.Code, n.Text}
		i, known := at[key]
		if !known {
			i = len(out)
			at[key] = i
			out = append(out, told{Code: n.Code, Text: n.Text})
		}
		out[i].Orders = append(out[i].Orders, n.Order)
	}
	return out
}

// Names lists the orders.
func (t told) Names() string { return strings.Join(t.Orders, ", ") }

// Counted lists the orders, many of them behind their number.
func (t told) Counted() string {
	if len(t.Orders) <= mostNames {
		return t.Names()
	}
	return say.Count(len(t.Orders), "order") + " (" + t.Names() + ")"
}

// noteWidth is the room for the names of orders beside what is said of them.
const noteWidth = 12

func textNotes(b *strings.Builder, head string, notes []night.Note) {
	if len(notes) == 0 {
		return
	}
	fmt.Fprintf(b, "\n%s:\n", head)
	for _, t := range together(notes) {
		names := t.Counted()
		if len(t.Orders) > 1 && len([]rune(names)) > noteWidth {
			fmt.Fprintf(b, "    %s\n", names)
			names = ""
		}
		fmt.Fprintf(b, "    %-*s %s [%s]\n", noteWidth, names, t.Text, t.Code)
	}
}
