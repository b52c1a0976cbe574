// Package cxf reads and writes the spectra of spot colours in the XML form that
// artworks carry them in (CxF/X-4, ISO 17972-4, in the namespace of ISO 17972-1;
// the standards' texts were not read, elements are from memory). It reads
// leniently, by the elements' local names.
package cxf

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// Namespace is that of CxF3's core.
const Namespace = "http://colorexchangeformat.com/CxF3-core"

// Colour is one measured tint of a spot.
type Colour struct {
	Name     string
	Percent  float64 // of the ink; 100 is the solid
	Spectrum cielab.Spectrum
}

// maxDepth bounds how deep elements may nest.
const maxDepth = 64

// Parse reads the colours that have a reflectance curve.
func Parse(data []byte) ([]Colour, error) {
	p := parser{steps: map[string]wavelengths{}}
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("the spectral data is no XML: %w", err)
		}
		if err := p.take(token); err != nil {
			return nil, err
		}
	}
	return p.done()
}

// wavelengths say where a curve begins and how far its bands are apart.
type wavelengths struct{ first, step int }

type parser struct {
	path    []string
	text    strings.Builder
	now     *found
	spec    string // whose wavelengths are being read
	colours []found
	steps   map[string]wavelengths
}

// found is a colour whose wavelengths may stand behind it.
type found struct {
	Colour
	spec, start, values string
}

func (p *parser) take(token xml.Token) error {
	switch t := token.(type) {
	case xml.StartElement:
		p.path = append(p.path, t.Name.Local)
		if len(p.path) > maxDepth {
			return fmt.Errorf("the spectral data nests elements more than %d deep", maxDepth)
		}
		p.text.Reset()
		p.begin(t)
	case xml.CharData:
		p.text.Write(t)
	case xml.EndElement:
		p.end(t.Name.Local)
		p.path = p.path[:len(p.path)-1]
		p.text.Reset()
	}
	return nil
}

func attr(t xml.StartElement, name string) string {
	for _, a := range t.Attr {
		if a.Name.Local == name {
			return strings.TrimSpace(a.Value)
		}
	}
	return ""
}

func (p *parser) begin(t xml.StartElement) {
	switch t.Name.Local {
	case "Object":
		p.now = &found{Colour: Colour{Name: attr(t, "Name"), Percent: 100}}
	case "ReflectanceSpectrum":
		if p.now != nil {
			p.now.spec, p.now.start = attr(t, "ColorSpecification"), attr(t, "StartWL")
		}
	case "ColorSpecification":
		p.spec = attr(t, "Id")
	case "WavelengthRange":
		first, _ := strconv.Atoi(attr(t, "StartWL"))
		step, _ := strconv.Atoi(attr(t, "Increment"))
		p.steps[p.spec] = wavelengths{first, step}
	}
}

func (p *parser) end(name string) {
	if p.now == nil {
		return
	}
	switch name {
	case "ReflectanceSpectrum":
		if p.now.values == "" {
			p.now.values = p.text.String()
		}
	case "Percentage":
		if v, err := strconv.ParseFloat(strings.TrimSpace(p.text.String()), 64); err == nil {
			p.now.Percent = v
		}
	case "Object":
		if p.now.values != "" {
			p.colours = append(p.colours, *p.now)
		}
		p.now = nil
	}
}

// done gives every curve its wavelengths.
func (p *parser) done() ([]Colour, error) {
	var out []Colour
	for _, f := range p.colours {
		w := p.steps[f.spec]
		if v, err := strconv.ParseFloat(f.start, 64); err == nil {
			w.first = int(v)
		}
		if w.step == 0 {
			w.step = 10
		}
		f.Spectrum = cielab.Spectrum{First: w.first, Step: w.step}
		for _, word := range strings.Fields(f.values) {
			v, err := strconv.ParseFloat(word, 64)
			if err != nil {
				return nil, fmt.Errorf("the spectral data of %q holds %.20q", f.Name, word)
			}
			f.Spectrum.Values = append(f.Spectrum.Values, v)
		}
		if err := f.Spectrum.Check(); err != nil {
			return nil, fmt.Errorf("the spectral data of %q: %w", f.Name, err)
		}
		out = append(out, f.Colour)
	}
	return out, nil
}

// Write writes colours; each set of wavelengths becomes a specification.
func Write(w io.Writer, creator string, colours []Colour) error {
	var b bytes.Buffer
	b.WriteString(xml.Header)
	fmt.Fprintf(&b, "<cc:CxF xmlns:cc=%q>\n <cc:FileInformation>\n  <cc:Creator>%s</cc:Creator>\n </cc:FileInformation>\n <cc:Resources>\n  <cc:ObjectCollection>\n", Namespace, escaped(creator))
	var specs []wavelengths
	for i, c := range colours {
		at := wavelengths{c.Spectrum.First, c.Spectrum.Step}
		n := -1
		for k, s := range specs {
			if s == at {
				n = k
			}
		}
		if n < 0 {
			n, specs = len(specs), append(specs, at)
		}
		var values []string
		for _, v := range c.Spectrum.Values {
			values = append(values, say.Exact(v))
		}
		fmt.Fprintf(&b, "   <cc:Object ObjectType=\"Target\" Name=\"%s\" Id=\"o%d\">\n    <cc:ColorValues>\n     <cc:ReflectanceSpectrum ColorSpecification=\"s%d\" StartWL=\"%d\">%s</cc:ReflectanceSpectrum>\n    </cc:ColorValues>\n",
			escaped(c.Name), i+1, n+1, at.first, strings.Join(values, " "))
		fmt.Fprintf(&b, "    <cc:DeviceColorValues>\n     <cc:ColorCMYKPlusN>\n      <cc:SpotColor>\n       <cc:Name>%s</cc:Name>\n       <cc:Percentage>%s</cc:Percentage>\n      </cc:SpotColor>\n     </cc:ColorCMYKPlusN>\n    </cc:DeviceColorValues>\n   </cc:Object>\n",
			escaped(c.Name), say.Exact(c.Percent))
	}
	b.WriteString("  </cc:ObjectCollection>\n  <cc:ColorSpecificationCollection>\n")
	for i, s := range specs {
		fmt.Fprintf(&b, "   <cc:ColorSpecification Id=\"s%d\">\n    <cc:MeasurementSpec>\n     <cc:MeasurementType>Spectrum_Reflectance</cc:MeasurementType>\n     <cc:WavelengthRange StartWL=\"%d\" Increment=\"%d\"/>\n    </cc:MeasurementSpec>\n   </cc:ColorSpecification>\n", i+1, s.first, s.step)
	}
	b.WriteString("  </cc:ColorSpecificationCollection>\n </cc:Resources>\n</cc:CxF>\n")
	_, err := w.Write(b.Bytes())
	return err
}

func escaped(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder doesn't fail
	return b.String()
}
