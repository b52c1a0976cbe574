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

// of returns a colour space that paints the plates of sp as grey, or as red, green and
// blue, with as many components as sp has: the data of images and shadings stays as it
// is.
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
	inks := b.build.inks
	switch {
	case b.build.mask():
		return b.mask(sp)
	case sp.family == indexedSpace && sp.base != nil:
		return b.indexed(sp), nil
	case sp.family == graySpace && len(inks) == 1 && inks[0].process == 3:
		return pdfobj.Name("DeviceGray"), nil
	}
	var programs []string
	for _, k := range inks {
		programs = append(programs, program(sp, k))
	}
	return b.extract(max(sp.n, 1), programs...)
}

// indexed returns the colours of an indexed space as the plates see them.
func (b *substitutes) indexed(sp *space) pdfobj.Object {
	var table []byte
	for i := range sp.high + 1 {
		for _, v := range b.build.tone(sp.base, sp.entry(i), b.build.all()) {
			table = append(table, byte(255*v+.5))
		}
	}
	return pdfobj.Array{pdfobj.Name("Indexed"), b.build.device(), pdfobj.Integer(sp.high), pdfobj.String(table)}
}

// program is one (7.10.5) that makes the brightness of one plate of a colour of sp.
func program(sp *space, of Ink) string {
	none := strings.Repeat("pop ", max(sp.n, 1)) + "1"
	switch sp.family {
	case graySpace:
		if of.process == 3 {
			return ""
		}
	case cmykSpace:
		if of.process >= 0 {
			return component(4, of.process)
		}
	case spotSpace:
		for i, n := range sp.names {
			if n == of.Name || n == "All" {
				return component(sp.n, i)
			}
		}
	case rgbSpace:
		if of.process >= 0 {
			return rgbProgram(of.process)
		}
	case labSpace:
		if of.process == 3 { // a plain lightness: told as approximate
			return "pop pop"
		}
	}
	return none
}

// mask returns a space whose grey is the brightness of sp.
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
	b.build.told.note("a soft mask in "+sp.label, "its brightness is taken from its first component")
	return b.extract(max(sp.n, 1), strings.Repeat("pop ", max(sp.n, 1)-1)+"1 exch sub")
}

// grey8 returns the brightness of a tint in eight bits.
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

// device is the space of the copy's colours.
func (in *inking) device() pdfobj.Name {
	if len(in.inks) > 1 {
		return "DeviceRGB"
	}
	return "DeviceGray"
}

// extract makes a colour space of n components, of which each program makes the
// brightness of one plate.
func (b *substitutes) extract(n int, programs ...string) (pdfobj.Object, error) {
	device := b.build.device()
	for device == "DeviceRGB" && len(programs) < 3 {
		programs = append(programs, strings.Repeat("pop ", n)+"1")
	}
	domain, values := pdfobj.Array{}, pdfobj.Array{}
	for range n {
		domain = append(domain, pdfobj.Integer(0), pdfobj.Integer(1))
	}
	whole := ""
	for i, p := range programs {
		values = append(values, pdfobj.Integer(0), pdfobj.Integer(1))
		if i < len(programs)-1 { // of a copy of the colour, and beneath it
			p = fmt.Sprintf("%d copy %s %d 1 roll ", n, p, n+1)
		}
		whole += p
	}
	ref := b.build.w.Alloc()
	err := b.build.w.PutStream(ref, pdfobj.Dict{"FunctionType": pdfobj.Integer(4), "Domain": domain, "Range": values}, strings.NewReader("{"+whole+"}"), -1, false)
	if err != nil {
		return nil, err
	}
	names := pdfobj.Array{}
	for i := range n {
		names = append(names, pdfobj.Name(fmt.Sprintf("P%d", i)))
	}
	if n == 1 {
		return pdfobj.Array{pdfobj.Name("Separation"), names[0], device, ref}, nil
	}
	return pdfobj.Array{pdfobj.Name("DeviceN"), names, device, ref}, nil
}
