package press

import (
	"fmt"
	"slices"
	"strings"

	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// plates gives the colour spaces of all that the engine draws itself. Each is
// written once for the whole document.
type plates struct {
	out    *pdfobj.Writer
	inks   map[string]ink.Ink
	names  map[string]pdfobj.Name   // bytes of those names that are not UTF-8
	taken  map[string]pdfobj.Object // Separation spaces that the artworks brought, by ink
	spaces map[string]pdfobj.Ref    // written spaces, by key
}

func newPlates(out *pdfobj.Writer, inks []ink.Ink, names map[string]pdfobj.Name) *plates {
	p := &plates{
		out:    out,
		names:  names,
		inks:   make(map[string]ink.Ink, len(inks)),
		taken:  make(map[string]pdfobj.Object),
		spaces: make(map[string]pdfobj.Ref),
	}
	for _, i := range inks {
		p.inks[i.Name] = i
	}
	return p
}

// raw returns the bytes of an ink's name: the RIP tells plates apart by them.
func (p *plates) raw(name string) pdfobj.Name {
	if raw, ok := p.names[name]; ok {
		return raw
	}
	return pdfobj.Name(name)
}

// colour is a paint in PDF's terms.
type colour struct {
	key     string        // names the space among the resources; empty for DeviceCMYK
	space   pdfobj.Object // nil for DeviceCMYK
	amounts []float64
}

// of returns the colour of a paint: process inks alone in DeviceCMYK, one other
// ink in its Separation, a mixture in a DeviceN. Never /All: a mark names the
// inks that it is for, so that white, varnish and die lines stay clean.
func (p *plates) of(paint draw.Paint) (colour, error) {
	process := true
	var cmyk [4]float64
	for _, t := range paint.Tints {
		i := processIndex(t.Ink)
		if i < 0 {
			process = false
			break
		}
		cmyk[i] = t.Amount
	}
	if process {
		return colour{amounts: cmyk[:]}, nil
	}
	names := make([]string, len(paint.Tints))
	amounts := make([]float64, len(paint.Tints))
	for i, t := range paint.Tints {
		names[i], amounts[i] = t.Ink, t.Amount
	}
	space, err := p.space(names)
	if err != nil {
		return colour{}, err
	}
	return colour{strings.Join(names, "\x00"), space, amounts}, nil
}

// space returns the colour space of some inks: the artworks' own for one alone
// that they share, else one that is built once.
func (p *plates) space(names []string) (pdfobj.Object, error) {
	if len(names) == 1 {
		if taken, ok := p.taken[names[0]]; ok {
			return taken, nil
		}
	}
	key := strings.Join(names, "\x00")
	if ref, ok := p.spaces[key]; ok {
		return ref, nil
	}
	space, err := p.build(names)
	if err != nil {
		return nil, err
	}
	ref, err := put(p.out, space)
	if err != nil {
		return nil, err
	}
	p.spaces[key] = ref
	return ref, nil
}

func processIndex(name string) int { return slices.Index(ink.ProcessNames[:], name) }

// build makes the Separation of one ink or the DeviceN of several
// (ISO 32000-1 8.6.6.4, 8.6.6.5).
func (p *plates) build(names []string) (pdfobj.Array, error) {
	looks := make([][4]float64, len(names))
	for i, n := range names {
		known, ok := p.inks[n]
		switch {
		case ok:
			looks[i] = known.CMYK
		case processIndex(n) >= 0:
			looks[i][processIndex(n)] = 1
		default:
			return nil, fmt.Errorf("something is to be drawn in the ink %q, which the job does not have", n)
		}
		if k := processIndex(n); k >= 0 {
			looks[i] = [4]float64{}
			looks[i][k] = 1
		}
	}
	if len(names) == 1 {
		return pdfobj.Array{pdfobj.Name("Separation"), p.raw(names[0]), pdfobj.Name("DeviceCMYK"), rampFunction(looks[0])}, nil
	}
	components := make(pdfobj.Array, len(names))
	for i, n := range names {
		components[i] = p.raw(n)
	}
	domain := make(pdfobj.Array, 0, 2*len(names))
	for range names {
		domain = append(domain, pdfobj.Integer(0), pdfobj.Integer(1))
	}
	dict := pdfobj.Dict{"FunctionType": pdfobj.Integer(4), "Domain": domain, "Range": unitRange(4)}
	mix, err := putStream(p.out, dict, []byte(mixProgram(looks)), false)
	if err != nil {
		return nil, err
	}
	colorants, err := p.colorants(names)
	if err != nil {
		return nil, err
	}
	return pdfobj.Array{pdfobj.Name("DeviceN"), components, pdfobj.Name("DeviceCMYK"), mix, pdfobj.Dict{"Colorants": colorants}}, nil
}

// colorants says of each spot of a DeviceN what it looks like by itself (ISO
// 32000-1 Table 71), so that a RIP without its plate can still show it.
func (p *plates) colorants(names []string) (pdfobj.Dict, error) {
	list := pdfobj.Dict{}
	for _, n := range names {
		if processIndex(n) >= 0 {
			continue
		}
		space, err := p.space([]string{n})
		if err != nil {
			return nil, err
		}
		list[p.raw(n)] = space
	}
	return list, nil
}

// rampFunction goes from no ink to the ink's look.
func rampFunction(look [4]float64) pdfobj.Dict {
	full := make(pdfobj.Array, 4)
	for i, v := range look {
		full[i] = pdfobj.Real(round(v))
	}
	none := pdfobj.Array{pdfobj.Integer(0), pdfobj.Integer(0), pdfobj.Integer(0), pdfobj.Integer(0)}
	return pdfobj.Dict{
		"FunctionType": pdfobj.Integer(2), "N": pdfobj.Integer(1),
		"Domain": unitRange(1), "Range": unitRange(4), "C0": none, "C1": full,
	}
}

func unitRange(n int) pdfobj.Array {
	var r pdfobj.Array
	for range n {
		r = append(r, pdfobj.Integer(0), pdfobj.Integer(1))
	}
	return r
}

// mixProgram is a PostScript calculator (ISO 32000-1 7.10.5) that adds up the
// looks of several inks, for screens: each process component is the sum of
// what the inks hold of it, at most 1.
func mixProgram(looks [][4]float64) string {
	n := len(looks)
	var b []byte
	b = append(b, "{ "...)
	for component := range 4 {
		b = append(b, "0 "...)
		for i, look := range looks {
			if look[component] == 0 {
				continue
			}
			// The tint lies below the later tints, the finished components and the sum.
			b = fmt.Appendf(b, "%d index ", n-1-i+component+1)
			b = append(appendNumber(b, look[component]), " mul add "...)
		}
		b = append(b, "dup 1 gt { pop 1 } if "...)
	}
	b = fmt.Appendf(b, "%d 4 roll ", n+4)
	for range n {
		b = append(b, "pop "...)
	}
	return string(append(b, '}'))
}
