package plate

import (
	"fmt"
	"strings"

	"quoin/impose/pdfobj"
)

// substitutes are the colour spaces that stand in for those of the page.
type substitutes struct {
	build *builder
	made  map[int]pdfobj.Object // by id
}

// of gives a colour space that paints one plate of sp as grey, with as
// many components as sp has: the data of images and shadings stays as it is.
func (b *substitutes) of(sp *space) (pdfobj.Object, error) {
	if o := b.made[sp.id]; o != nil {
		return o, nil
	}
	o, err := b.make(sp)
	if err != nil {
		return nil, err
	}
	b.made[sp.id] = o
	return o, nil
}

func (b *substitutes) make(sp *space) (pdfobj.Object, error) {
	of := b.build.ink
	if of.mask {
		return b.mask(sp)
	}
	switch sp.family {
	case graySpace:
		if of.process == 3 {
			return pdfobj.Name("DeviceGray"), nil
		}
		return b.extract(1, "pop 1")
	case cmykSpace:
		if of.process < 0 {
			return b.extract(4, "pop pop pop pop 1")
		}
		return b.extract(4, component(4, of.process))
	case spotSpace:
		for i, n := range sp.names {
			if n == of.Name || n == "All" {
				return b.extract(sp.n, component(sp.n, i))
			}
		}
		return b.extract(sp.n, strings.Repeat("pop ", sp.n)+"1")
	case rgbSpace:
		if of.process < 0 {
			return b.extract(3, "pop pop pop 1")
		}
		return b.extract(3, rgbProgram(of.process))
	case labSpace:
		// A plain lightness: told as approximate.
		if of.process != 3 {
			return b.extract(3, "pop pop pop 1")
		}
		return b.extract(3, "pop pop")
	case indexedSpace:
		if sp.base == nil {
			break
		}
		table := make([]byte, sp.high+1)
		for i := range table {
			amount, _ := sp.base.tint(of, sp.entry(i))
			table[i] = grey8(amount)
		}
		return pdfobj.Array{pdfobj.Name("Indexed"), pdfobj.Name("DeviceGray"), pdfobj.Integer(sp.high), pdfobj.String(table)}, nil
	}
	return b.extract(max(sp.n, 1), strings.Repeat("pop ", max(sp.n, 1))+"1")
}

// mask gives a space whose grey is the brightness of sp.
func (b *substitutes) mask(sp *space) (pdfobj.Object, error) {
	switch sp.family {
	case graySpace:
		return pdfobj.Name("DeviceGray"), nil
	case rgbSpace:
		return b.extract(3, "0.11 mul exch 0.59 mul add exch 0.3 mul add")
	case cmykSpace:
		return b.extract(4, "1 exch sub 4 1 roll 1 exch sub 0.11 mul exch 1 exch sub 0.59 mul add exch 1 exch sub 0.3 mul add mul")
	case indexedSpace:
		table := make([]byte, sp.high+1)
		for i := range table {
			table[i] = grey8(1 - luminosity(sp.base, sp.entry(i)))
		}
		return pdfobj.Array{pdfobj.Name("Indexed"), pdfobj.Name("DeviceGray"), pdfobj.Integer(sp.high), pdfobj.String(table)}, nil
	}
	b.build.told.add("a soft mask in "+sp.label, "its brightness is taken from its first component")
	return b.extract(max(sp.n, 1), strings.Repeat("pop ", max(sp.n, 1)-1)+"1 exch sub")
}

// grey8 gives the brightness of a tint in eight bits.
func grey8(amount float64) byte { return byte(255*(1-amount) + .5) }

// component is a program (7.10.5) that leaves one minus value i of n.
func component(n, i int) string {
	if n == 1 {
		return "1 exch sub"
	}
	return fmt.Sprintf("%d index 1 exch sub %d 1 roll %s", n-1-i, n+1, strings.Repeat("pop ", n))
}

// rgbProgram is fromRGB for one plate: the largest of r, g, b is one minus
// black, and an ink is that less its own component.
func rgbProgram(process int) string {
	const largest = "2 copy lt {exch} if pop " // of two values
	if process == 3 {
		return largest + largest
	}
	// r g b -> 1 - (max - own)
	return fmt.Sprintf("3 copy %s%s 4 1 roll %d index 4 1 roll pop pop pop sub 1 exch sub", largest, largest, 2-process)
}

// extract makes a colour space of n components whose grey a program gives.
func (b *substitutes) extract(n int, program string) (pdfobj.Object, error) {
	domain := pdfobj.Array{}
	for range n {
		domain = append(domain, pdfobj.Integer(0), pdfobj.Integer(1))
	}
	ref := b.build.w.Alloc()
	err := b.build.w.PutStream(ref, pdfobj.Dict{"FunctionType": pdfobj.Integer(4), "Domain": domain, "Range": pdfobj.Array{pdfobj.Integer(0), pdfobj.Integer(1)}},
		strings.NewReader("{"+program+"}"), -1, false)
	if err != nil {
		return nil, err
	}
	names := pdfobj.Array{}
	for i := range n {
		names = append(names, pdfobj.Name(fmt.Sprintf("P%d", i)))
	}
	if n == 1 {
		return pdfobj.Array{pdfobj.Name("Separation"), names[0], pdfobj.Name("DeviceGray"), ref}, nil
	}
	return pdfobj.Array{pdfobj.Name("DeviceN"), names, pdfobj.Name("DeviceGray"), ref}, nil
}
