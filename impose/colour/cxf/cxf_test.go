package cxf_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"quoin/impose/colour/cielab"
	"quoin/impose/colour/cxf"
)

func colours() []cxf.Colour {
	a, b := make([]float64, 31), make([]float64, 36)
	for i := range a {
		a[i] = 0.1 + 0.02*float64(i)
	}
	for i := range b {
		b[i] = 0.5
	}
	return []cxf.Colour{
		{Name: `Quince "Gold" & <Plum>`, Percent: 100, Spectrum: cielab.Spectrum{First: 400, Step: 10, Values: a}},
		{Name: `Quince "Gold" & <Plum>`, Percent: 50, Spectrum: cielab.Spectrum{First: 380, Step: 10, Values: b}},
		{Name: "Grüngrau", Percent: 100, Spectrum: cielab.Spectrum{First: 400, Step: 10, Values: a}},
	}
}

func TestWrittenReadsBack(t *testing.T) {
	var b bytes.Buffer
	if err := cxf.Write(&b, "quoin", colours()); err != nil {
		t.Fatal(err)
	}
	got, err := cxf.Parse(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(colours(), got); d != "" {
		t.Error(d)
	}
}

func TestDamagedSpectralData(t *testing.T) {
	var b bytes.Buffer
	if err := cxf.Write(&b, "quoin", colours()); err != nil {
		t.Fatal(err)
	}
	whole := b.String()
	for want, text := range map[string]string{
		"no XML":        whole[:len(whole)/2],
		"holds \"0,1\"": strings.Replace(whole, "0.1 ", "0,1 ", 1),
		"too short":     strings.Replace(whole, `StartWL="400"`, `StartWL="500"`, 1),
		"nests":         strings.Repeat("<a>", 100),
	} {
		if _, err := cxf.Parse([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v; want %q", err, want)
		}
	}
	// A colour without a curve is none of ours.
	if got, err := cxf.Parse([]byte(`<CxF><Object Name="x"><ColorValues><ColorCIELab/></ColorValues></Object></CxF>`)); err != nil || len(got) != 0 {
		t.Errorf("%v, %v", got, err)
	}
}
