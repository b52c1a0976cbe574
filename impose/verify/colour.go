package verify

import (
	"fmt"

	"quoin/impose/pdfobj"
)

// processInks are the inks of DeviceCMYK (ISO 32000-1 8.6.4.4).
var processInks = []string{"Cyan", "Magenta", "Yellow", "Black"}

func (r *reader) colourOperator(op string, args []pdfobj.Object) bool {
	to := &r.g.fill
	switch op {
	case "G", "RG", "K", "CS", "SC", "SCN":
		to = &r.g.stroke
	}
	switch op {
	case "g", "G":
		*to = colour{space: fmt.Sprintf("DeviceGray %g", numbers(args, 1)[0])}
	case "rg", "RG":
		*to = colour{space: fmt.Sprintf("DeviceRGB %g", numbers(args, 3))}
	case "k", "K":
		*to = tinted(processInks, numbers(args, 4))
	case "cs", "CS":
		*to = r.space(last(args))
		amounts := make([]float64, len(to.names))
		for i := range amounts {
			amounts[i] = 1 // 8.6.6.4: Separation and DeviceN begin with all their ink
		}
		*to = tinted(to.names, amounts).or(to.space)
	case "sc", "SC", "scn", "SCN":
		if to.space == "" {
			*to = tinted(to.names, numbers(args, len(to.names)))
		}
	default:
		return false
	}
	return true
}

// or keeps the name of a space that has no inks.
func (c colour) or(space string) colour {
	c.space = space
	return c
}

// tinted returns amounts, 0 to 1, of inks.
func tinted(names []string, amounts []float64) colour {
	c := colour{names: names}
	for i, n := range names {
		if amounts[i] != 0 && n != none {
			c.tints = append(c.tints, tint{n, 100 * amounts[i]})
		}
	}
	return c
}

// space reads a colour space by its inks.
func (r *reader) space(o pdfobj.Object) colour {
	if n, ok := o.(pdfobj.Name); ok {
		if n == "DeviceCMYK" {
			return colour{names: processInks}
		}
		inner := r.resource("ColorSpace", n)
		if inner == nil {
			return colour{space: string(n)}
		}
		o = inner
	}
	if known, ok := o.(pdfobj.Ref); ok {
		if c, ok := r.spaces[known]; ok {
			return c
		}
	}
	a := r.doc.Array(o)
	c := colour{space: "a colour space that names no inks"}
	if len(a) >= 4 {
		switch r.doc.Name(a[0]) {
		case "Separation":
			c = colour{names: []string{r.doc.Name(a[1]).Text()}}
		case "DeviceN":
			c = colour{}
			for _, n := range r.doc.Array(a[1]) {
				c.names = append(c.names, r.doc.Name(n).Text())
			}
		}
	}
	if ref, ok := o.(pdfobj.Ref); ok {
		r.spaces[ref] = c
	}
	return c
}
