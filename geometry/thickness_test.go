package geometry

import (
	"errors"
	"strings"
	"testing"
)

// TV-W3a to c. A mil is 1/1000 inch (pa.msu.edu, machine shop measurements), 100
// gauge are a mil (thepkglab.com, material specs), a board point is 1/1000 inch
// (ustar-duplexboard.com, article 76); the values are arithmetic. The pages'
// own figures round 0.75 mil to 19 um and 24 pt to about 0.6 mm.
func TestParseThickness(t *testing.T) {
	for text, um := range map[string]string{
		"0.5mil": "12.7um", "1.2mil": "30.48um", "1.6mil": "40.64um", "2 mil": "50.8um", "2.6mil": "66.04um", "7 mils": "177.8um",
		"0.75mil": "19.05um", "18pt": "457.2um", "24 pt": "609.6um", "100gauge": "25.4um", "50 gauge": "12.7um",
		"60um": "60um", "60µm": "60um", "60μm": "60um", "0.15mm": "150um", "0.006in": "152.4um", "1/1000in": "25.4um", "0um": "0um",
	} {
		if got, err := ParseThickness(text); err != nil || got != mustLength(t, um) {
			t.Errorf("%q: got %v, %v; want %s", text, got, err, um)
		}
	}
}

// fetpak.com, mils and microns, multiplies microns by 25.4: wrong.
func TestMilsAreLessThanMicrons(t *testing.T) {
	micron, err := ParseThickness("25.4um")
	if err != nil {
		t.Fatal(err)
	}
	if mil, err := ParseThickness("1mil"); err != nil || mil != micron {
		t.Errorf("a mil is %v, 25.4 microns are %v; %v", mil, micron, err)
	}
	// A typesetter's point is 0.352778 mm, not the 0.375 mm of a published page
	// (help.hssoft.com, Schriftgroesse), and no board is meant by it.
	if got := mustLength(t, "1pt"); got != 352_778 {
		t.Errorf("a point of type is %v", got)
	}
}

func TestParseThicknessRefuses(t *testing.T) {
	for text, why := range map[string]string{
		"60": "has no unit", "": "is not a thickness", "mil": "is not a thickness", "2,6mil": "is not a thickness",
		"60m": `has the unknown unit "m"`, "6cm": `has the unknown unit "cm"`, "-1um": "is less than nothing", "10000001000mm": "is longer than any web",
	} {
		l, err := ParseThickness(text)
		var e *NotationError
		if !errors.As(err, &e) || e.Text != text || e.Why != why || strings.TrimSpace(e.Hint()) == "" {
			t.Errorf("%q: got %v, %v; want %q with a hint", text, l, err, why)
		}
	}
}
