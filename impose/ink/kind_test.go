package ink

import "testing"

// The names are common practice, no source; that a name's every word must be
// known is what keeps colours from being taken for die lines.
func TestKindByName(t *testing.T) {
	for name, want := range map[string]Kind{
		"Cyan": Process, "Magenta": Process, "Yellow": Process, "Black": Process,
		"cyan":  Spot, // PDF names are exact
		"White": White, "white": White, "Opaque White": White, "OPAQUE_WHITE": White, "White 2": White, "White-1": White,
		"Weiß": White, "Weiss": White, "Deckweiss": White, "Blanc": White, "Blanco": White, "white underprint": White,
		"Warm White": Spot, "White Gold": Spot, "Snow": Spot,
		"Varnish": Varnish, "Spot Varnish": Varnish, "UV-Varnish": Varnish, "Gloss varnish 1": Varnish, "Lack": Varnish, "Vernis": Varnish,
		"die": Technical, "Die Line": Technical, "DieLine": Technical, "dieline": Technical, "DIE_LINES": Technical,
		"Cut": Technical, "cutting": Technical, "Kiss Cut": Technical, "kiss-cut": Technical, "Crease": Technical, "Fold": Technical,
		"Perf": Technical, "Guides": Technical, "Legend": Technical, "Dimensions": Technical, "Stanze": Technical, "Stanzkontur": Technical,
		"Découpe": Technical, "Troquel": Technical, "Fustella": Technical, "white die": Technical, "die white": Technical,
		"Cut Grass": Spot, "Diehard Red": Spot, "Kiss": Spot, "Punch": Spot, "Quince Gold": Spot, "Fold Green": Spot,
		"": Spot, "7": Spot, "Ink 1": Spot, "Spot": Spot, "Gr\xfcn": Spot,
	} {
		if got := (Rules{}).Kind(name, ""); got != want {
			t.Errorf("%q is %s, want %s", name, got, want)
		}
	}
}

func TestRulesOverruleStepsOverruleWords(t *testing.T) {
	r := Rules{Technical: []string{"Quince"}, White: []string{"Snow"}, Varnish: []string{"Shine"}, Spot: []string{"Die Line"}}
	for _, c := range []struct {
		name string
		said Kind
		want Kind
	}{
		{"Quince", "", Technical}, {"Quince", White, Technical}, {"Snow", "", White}, {"Shine", Technical, Varnish},
		{"Die Line", "", Spot}, {"Die Line", Technical, Spot},
		{"Plum", StepKind("Structural"), Technical}, {"Plum", StepKind("White"), White}, {"Plum", StepKind("Varnish"), Varnish},
		{"White", StepKind("Structural"), Technical}, {"Plum", StepKind("House step"), Spot},
		{"Black", StepKind("Structural"), Process}, // a process ink always has a station
	} {
		if got := r.Kind(c.name, c.said); got != c.want {
			t.Errorf("%s said %q: %s, want %s", c.name, c.said, got, c.want)
		}
	}
}
