package night

import (
	"encoding/csv"
	"slices"
	"strings"

	"quoin/impose/job"
	"quoin/impose/say"
)

// Pins are the planner's own wishes for single orders, by their numbers.
type Pins struct {
	Together [][]string `json:"together,omitempty"` // sets that are printed in one run each
	Apart    [][]string `json:"apart,omitempty"`    // sets of which no run holds two
	TakenOut []string   `json:"taken_out,omitempty"`
}

// Any reports whether orders are bound to each other.
func (p *Pins) Any() bool { return len(p.Together) > 0 || len(p.Apart) > 0 }

// ParsePin reads order numbers with commas between them; one that holds a comma
// stands in quotation marks, as in CSV. A pin is of two orders or more.
func ParsePin(text string) ([]string, error) {
	way := "write their numbers with a comma between them, as in A,B"
	ids, err := csv.NewReader(strings.NewReader(text)).Read()
	if err != nil {
		return nil, say.Refuse(say.Usage, way, "%q names no orders", text)
	}
	for i := range ids {
		ids[i] = strings.TrimSpace(ids[i])
		if ids[i] == "" || slices.Contains(ids[:i], ids[i]) {
			return nil, say.Refuse(say.Usage, way, "%q names an order twice, or leaves one out", text)
		}
	}
	if len(ids) < 2 {
		return nil, say.Refuse(say.Usage, way, "%q names one order: there is nothing to bind it to", text)
	}
	return ids, nil
}

// PinText is what ParsePin reads.
func PinText(ids []string) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.Write(ids) //nolint:errcheck // to memory
	w.Flush()
	return strings.TrimSuffix(b.String(), "\n")
}

// Check refuses pins that name no order of the list, or contradict each other.
func (p *Pins) Check(all []job.Order) error {
	for _, set := range slices.Concat(p.Together, p.Apart) {
		for _, id := range set {
			if !slices.ContainsFunc(all, func(o job.Order) bool { return o.ID == id }) {
				return say.Refuse(say.Usage, "write its number as the list has it, or leave it out of --together and --apart",
					"%s is to be printed with or without other orders, and no order has that number", id)
			}
		}
	}
	for _, set := range p.Apart {
		for i, a := range set {
			for _, b := range set[i+1:] {
				if slices.Contains(p.With(a), b) {
					return say.Refuse(say.Usage, "leave one of the two pins out", "%s and %s are to be printed together, and apart", a, b)
				}
			}
		}
	}
	return nil
}

// With returns all orders that are to be printed in one run with an order, itself
// first: what is together with one of a set is with all of it.
func (p *Pins) With(id string) []string {
	all := []string{id}
	for i := 0; i < len(all); i++ {
		for _, set := range p.Together {
			if !slices.Contains(set, all[i]) {
				continue
			}
			for _, other := range set {
				if !slices.Contains(all, other) {
					all = append(all, other)
				}
			}
		}
	}
	return all
}
