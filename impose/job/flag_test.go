package job

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"quoin/geometry"
	"quoin/impose/say"
)

var allFlags = slices.Concat(LayoutFlags, BlockFlags, OrderFlags, TermFlags, RollFlags, MarkFlags, PlateFlags)

func flagNamed(t *testing.T, name string) *Flag {
	t.Helper()
	for i := range allFlags {
		if allFlags[i].Name == name {
			return &allFlags[i]
		}
	}
	t.Fatalf("there is no flag --%s", name)
	return nil
}

// said reads a command line of "name value" pairs.
func said(t *testing.T, line ...string) (out []Said) {
	for _, s := range line {
		name, text, _ := strings.Cut(s, " ")
		out = append(out, Said{flagNamed(t, name), text})
	}
	return out
}

// sameAsFile pairs each flag that a job file has a word for with that word.
var sameAsFile = []struct{ flag, file string }{
	{"web 330mm", "web: 330mm"},
	{"edge 5mm", "edge: 5mm"},
	{"target-lane 7mm", "target-lane: 7mm"},
	{"edge-matrix 0mm", "edge-matrix: 0mm"},
	{"unused-lanes true", "unused-lanes: true"},
	{"label 50x75mm", "label: 50x75mm"},
	{"shape circle", "shape: circle"},
	{"outline leaf.dxf", "outline: leaf.dxf"},
	{"outline artwork", "outline: artwork"},
	{"radius 3mm", "radius: 3mm"},
	{"gap 3x4mm", "gap: 3x4mm"},
	{"bleed 2mm", "bleed: 2mm"},
	{"from-cut 1.5mm", "from-cut: 1.5mm"},
	{"ink-limit 280%", "inks: {limit: 280%}"},
	{"material film", "material: {kind: film}"},
	{"turn 90", "turn: 90"},
	{"turn auto", "turn: auto"},
	{"frame-max 700mm", "frame-max: 700mm"},
	{"repeat 24in", "repeat: 24in"},
	{"winding face out, top leads", "winding: face out, top leads"},
	{"windings 2", "windings: 2"},
	{"die 0042", "die: 0042"},
	{"lanes 4", "lanes: 4"},
	{"rows 5", "rows: 5"},
	{"shift -2mm", "shift: -2mm"},
	{"nest true", "nest: true"},
	{"nest-upright true", "nest-upright: true"},
	{"nest-apart true", "nest-apart: true"},
	{"outline-layer CUT", "outline-layer: CUT"},
	{"ignore-die-line true", "ignore-die-line: true"},
	{"cutting true", "cutting: true"},
	{"overs 3%", "overs: 3%"},
	{"setup 20m", "setup: 20m"},
	{"run-waste 2%", "run-waste: 2%"},
	{"speed 2m/s", "speed: 120m/min"},
	{"labels-per-roll 2500", "roll: {labels: 2500}"},
	{"core 76mm", "roll: {core: 76mm}"},
	{"roll-max 300mm", "roll: {max-diameter: 300mm}"},
	{"caliper 6mil", "material: {caliper: 6mil}"},
	{"splices false", "roll: {splices: false}"},
	{"eye 3x7mm", "marks: {eye: {size: 3x7mm}}"},
	{"eye-side right", "marks: {eye: {side: right}}"},
	{"patch 6x6mm", "targets: {patch: 6x6mm}"},
	{"trim-marks true", "marks: {trim: true}"},
	{"no-marks true", "marks: {register: false, slit: false, centre: false}"},
	{"no-targets true", "targets: false"},
	{"no-slug true", "marks: {slug: false}"},
}

var noSource = cmp.Options{cmpopts.IgnoreUnexported(Job{}), cmpopts.EquateComparable(geometry.Gear{}, geometry.Winding{})}

func TestFlagsSayWhatTheFileSays(t *testing.T) {
	paired := map[string]bool{"press": true, "dies": true, "teeth": true, "pitch": true, "quantity": true, "page": true} // see below
	for _, c := range sameAsFile {
		name, _, _ := strings.Cut(c.flag, " ")
		paired[name] = true
		want, err := Houses(nil).ParseJob("job.yaml", []byte(c.file), nil)
		if err != nil {
			t.Fatal(err)
		}
		got := New()
		got.Dir = "."
		given := said(t, c.flag)
		if _, err := given[0].Flag.Check(given[0].Text); err != nil {
			t.Errorf("--%s: %v", c.flag, err)
		}
		if err := got.Override(given); err != nil {
			t.Errorf("--%s: %v", c.flag, err)
		}
		if diff := cmp.Diff(want, got, noSource); diff != "" {
			t.Errorf("--%s against %s:\n%s", c.flag, c.file, diff)
		}
	}
	for _, f := range allFlags {
		if !paired[f.Name] {
			t.Errorf("--%s is in no pair", f.Name)
		}
	}
}

func TestFlagsOverride(t *testing.T) {
	j, err := Houses(nil).ParseJob("shop/job.yaml", []byte("artworks: [{file: a.pdf, quantity: 5, labels-per-roll: 7}]\nturn: [0, 90]\nrepeat: 24in\nlanes: 4\nmarks: {eye: {ink: Black}}\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	// A mark that is asked for stands, though no other does; the file beside the
	// command is beside the shop's folder.
	if err := j.Override(said(t, "outline leaf.dxf", "turn 180", "teeth 96", "pitch 1/8in", "lanes 6", "quantity 12", "page 3",
		"labels-per-roll 9", "eye 5x7mm", "no-marks true")); err != nil {
		t.Fatal(err)
	}
	a := j.Artworks[0]
	if a.Quantity != 12 || a.Page != 3 || a.LabelsPerRoll != 0 || j.Roll.Labels != 9 || j.Lanes != 6 || len(j.Turns) != 1 ||
		j.Outline != filepath.Join("..", "leaf.dxf") || j.Repeat.Fixed != 0 || j.Repeat.Teeth != 96 {
		t.Errorf("got %+v, repeat %+v, outline %s", a, j.Repeat, j.Outline)
	}
	if e := j.Marks.Eye; e == nil || e.Ink != DefaultEyeMark().Ink || e.Track < e.Size.Across || j.Marks.Register.On {
		t.Errorf("the marks are %+v with eye %+v", j.Marks, e)
	}
}

func TestFlagsRefuse(t *testing.T) {
	for _, c := range []struct{ flag, want string }{
		{"web 0mm", "must be more than 0"},
		{"gap -3x3mm", "must not be negative"},
		{"label 50", "50"},
		{"lanes 0", "0 is not between 1 and 10,000"},
		{"quantity 0", "0 is not between 1"},
		{"turn 45", `"45" is not a turn`},
		{"eye-side up", `"up" is not known here`},
		{"core x", "x"},
		{"winding sideways", "sideways"},
		{"run-waste 101%", "is not between"},
	} {
		s := said(t, c.flag)[0]
		if _, err := s.Flag.Check(s.Text); err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), ": roll") {
			t.Errorf("--%s: got %v, want %s", c.flag, err, c.want)
		}
	}
	two := New()
	two.Artworks = make([]Artwork, 2)
	for _, c := range []struct {
		line []string
		want string
	}{
		{[]string{"quantity 5"}, "--quantity can't stand over a job of 2 artworks"},
		{[]string{"repeat 24in", "frame-max 900mm"}, "the repeat is given more than once"},
		{[]string{"teeth 96"}, "--teeth needs the gear's pitch"},
		{[]string{"pitch 1/8in"}, "--pitch needs the number of teeth"},
	} {
		err := two.Override(said(t, c.line...))
		if say.KindOf(err) != say.Usage || err.Error() != c.want || say.Hint(err) == "" {
			t.Errorf("%q: got %v, want %s", c.line, err, c.want)
		}
	}
	if err := New().Override(said(t, "press nowhere.yaml")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("got %v", err)
	}
}

// TestOneWayToSay sees that two ways to write a value are one for a night's key.
func TestOneWayToSay(t *testing.T) {
	for _, c := range [][2]string{{"web 340mm", "web 34cm"}, {"gap 3x3mm", "gap 0.3x0.3cm"}, {"overs 2%", "overs 2.0%"}, {"speed 120m/min", "speed 2m/s"}} {
		var got [2]string
		for i, line := range c {
			s := said(t, line)[0]
			var err error
			if got[i], err = s.Flag.Check(s.Text); err != nil {
				t.Fatal(err)
			}
		}
		if got[0] != got[1] {
			t.Errorf("%q: got %q", c, got)
		}
	}
}
