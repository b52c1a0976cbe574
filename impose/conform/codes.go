package conform

import "quoin/impose/say"

// Codes returns the rules for the manual.
func Codes() say.Codes {
	c := say.Codes{Title: "rules of a press-ready file"}
	for _, r := range Rules {
		c.List = append(c.List, say.Meaning{Code: r.Name, Text: r.Asks})
	}
	return c
}
