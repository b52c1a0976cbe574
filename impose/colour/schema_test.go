package colour_test

import (
	"testing"

	"quoin/impose/colour"
	"quoin/impose/colour/cielab"
	"quoin/impose/witness/schemas"
)

// nullable are the keys that are null where nothing was measured, or nothing
// says what it should be.
var nullable = func() []string {
	out := []string{"paper", "inks/solid", "midtone_spread", "fewer_together", "inks/tones/aim", "inks/tones/worst_off"}
	for _, at := range []string{"paper", "inks/solid", "overprints", "strip"} {
		for _, key := range []string{"aim", "de00", "de76", "worst_de00", "series/de00"} {
			out = append(out, at+"/"+key)
		}
	}
	return out
}()

// Reports of all kinds keep the published schema, and with any value spoiled
// they don't.
func TestReportKeepsItsSchema(t *testing.T) {
	schema := schemas.File(t, "schema/colour.schema.json")
	p, r := demoProfile(t), frameOf(t, 2000)
	bent := pressed{profile: p, shift: func(q *colour.Patch, m float64) cielab.Lab { return cielab.Lab{L: 4 * m / 1000} }}
	head := "X\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n"
	for name, rep := range map[string]*colour.Report{
		"a whole run":   judged(t, r, p, bent.measure(t, r, every(100, 2000))),
		"one patch":     judged(t, r, p, head+"1 55 -37 -50\nx 50 0 0\nEND_DATA\n"),
		"no conditions": colour.Judge(r, &colour.Readings{List: []colour.Reading{{Patch: &r.Targets[0]}}}, &colour.Aims{}),
	} {
		rep.Curves = colour.Curves(rep)
		rep.Fewer = append(colour.Fewer(r, rep, aimsOf(t, p), nil), colour.FewerInks{Ink: "B", Near: true})
		rep.Together = colour.Together(r, rep, nil)
		t.Run(name, func(t *testing.T) { schemas.Keeps(t, schema, rep, nullable...) })
	}
}
