package colour_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/colour"
	"quoin/impose/colour/cgats"
	"quoin/impose/colour/cielab"
	"quoin/impose/colour/profile"
)

const demo = "../../samples/artwork/demo-coated.icc"

func demoProfile(t testing.TB) *profile.Profile {
	t.Helper()
	data, err := os.ReadFile(demo)
	if err != nil {
		t.Fatal(err)
	}
	p, err := profile.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// gold is the solid of our invented spot.
var gold = cielab.Lab{L: 68, A: 12, B: 58}

// frameOf makes a run's summary: process inks and a spot, one set of targets in
// each margin.
func frameOf(t testing.TB, frames int) *colour.PressRun {
	t.Helper()
	type tint map[string]any
	var targets []map[string]any
	add := func(what string, tints ...tint) {
		for _, side := range []string{"left", "right"} {
			n := len(targets)
			x := map[string]float64{"left": 5, "right": 330}[side]
			y := float64(10 + n/2*5)
			if tints == nil {
				tints = []tint{}
			}
			targets = append(targets, map[string]any{"number": n + 1, "what": what, "inks": tints, "side": side, "box_mm": []float64{x, y, x + 5, y + 5}})
		}
	}
	amount := func(ink string, p float64) tint { return tint{"ink": ink, "tint_percent": p} }
	inks := []string{"Cyan", "Magenta", "Yellow", "Black", "Quince Gold"}
	for _, i := range inks {
		add("solid", amount(i, 100))
	}
	add("paper")
	for _, v := range []float64{25, 50, 75} {
		for _, i := range inks {
			add("tint", amount(i, v))
		}
	}
	add("grey", amount("Cyan", 50), amount("Magenta", 40), amount("Yellow", 40))
	add("overprint", amount("Magenta", 100), amount("Yellow", 100))
	add("overprint", amount("Cyan", 100), amount("Magenta", 100), amount("Yellow", 100))
	summary := map[string]any{
		"schema": "quoin/summary/1", "job": "Hollow Lane drinks", "targets": targets,
		"layout": map[string]any{"repeat_mm": 500, "web_mm": 340},
		"run":    map[string]any{"frames": frames, "speed_m_per_min": 60, "web_gross_m": float64(frames) / 2, "printing_inks": 5},
	}
	var kinds []map[string]string
	for _, i := range inks {
		kind := "process"
		if i == "Quince Gold" {
			kind = "spot"
		}
		kinds = append(kinds, map[string]string{"name": i, "kind": kind})
	}
	summary["inks"] = kinds
	data, err := json.Marshal(summary)
	if err != nil {
		t.Fatal(err)
	}
	r, err := colour.ParseRun("run.json", data)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// pressed is a press of our own invention: it prints what the profile says, but
// as it is bent.
type pressed struct {
	profile *profile.Profile
	// dot changes a tint (0 to 1) of an ink at a metre; nil leaves it.
	dot   func(ink string, tint, metre float64) float64
	shift func(p *colour.Patch, metre float64) cielab.Lab // added to what was printed
	noise float64                                         // standard deviation in L*, a* and b*
	seed  uint64
}

// measure reads all patches in some frames, as a table of the exchange form.
func (m pressed) measure(t testing.TB, r *colour.PressRun, frames []int) string {
	t.Helper()
	random := rand.New(rand.NewPCG(m.seed, 7))
	var b strings.Builder
	b.WriteString("ISO28178\nINSTRUMENTATION \"Invented in-line spectrophotometer\"\nMEASUREMENT_SOURCE \"M1, D50, 2 degree\"\nKEYWORD \"FRAME\"\n" +
		"BEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_NAME FRAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n")
	for _, f := range frames {
		metre := (float64(f) - 0.5) * r.Layout.RepeatMM / 1000
		for i := range r.Targets {
			p := &r.Targets[i]
			c := m.print(t, p, metre)
			if m.shift != nil {
				s := m.shift(p, metre)
				c.L, c.A, c.B = c.L+s.L, c.A+s.A, c.B+s.B
			}
			fmt.Fprintf(&b, "%d %q %d %.2f %.2f %.2f\n", p.Number, p.Name, f,
				c.L+m.noise*random.NormFloat64(), c.A+m.noise*random.NormFloat64(), c.B+m.noise*random.NormFloat64())
		}
	}
	b.WriteString("END_DATA\n")
	return b.String()
}

// print gives a patch's colour: the spot runs straight from paper to its solid
// in the numbers that ISO 20654 compares.
func (m pressed) print(t testing.TB, p *colour.Patch, metre float64) cielab.Lab {
	var v [4]float64
	spot := 0.0
	for _, tint := range p.Tints {
		part := tint.Percent / 100
		if m.dot != nil && part < 1 {
			part = m.dot(tint.Ink, part, metre)
		}
		switch tint.Ink {
		case "Cyan":
			v[0] = part
		case "Magenta":
			v[1] = part
		case "Yellow":
			v[2] = part
		case "Black":
			v[3] = part
		default:
			spot = part
		}
	}
	c, err := m.profile.Lab(v[:])
	if err != nil {
		t.Fatal(err)
	}
	return cielab.Lab{L: c.L + spot*(gold.L-c.L), A: c.A + spot*(gold.A-c.A), B: c.B + spot*(gold.B-c.B)}
}

// judged reads tables and judges them by the profile and the house's gold.
func judged(t testing.TB, r *colour.PressRun, p *profile.Profile, tables ...string) *colour.Report {
	t.Helper()
	var paths []string
	for i, text := range tables {
		path := filepath.Join(t.TempDir(), fmt.Sprintf("measured-%d.txt", i))
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	all, err := colour.ReadMeasured(r, paths)
	if err != nil {
		t.Fatal(err)
	}
	return colour.Judge(r, all, aimsOf(t, p))
}

func aimsOf(t testing.TB, p *profile.Profile) *colour.Aims {
	t.Helper()
	house, err := colour.ParseHouse("house.yaml", []byte("spots:\n  - {name: quince  gold, lab: [68, 12, 58], source: invented}\n"))
	if err != nil {
		t.Fatal(err)
	}
	return &colour.Aims{House: house, Profile: p, From: "demo profile"}
}

// every gives the frames from 1 on, so many apart.
func every(n, last int) (out []int) {
	for f := 1; f <= last; f += n {
		out = append(out, f)
	}
	return out
}

// A press that prints what the profile says passes, with nothing to say.
func TestTrueRunPasses(t *testing.T) {
	p, r := demoProfile(t), frameOf(t, 2000)
	rep := judged(t, r, p, pressed{profile: p, noise: 0.15}.measure(t, r, every(100, 2000)))
	if rep.Verdict != colour.Pass || len(rep.Drift) > 0 || len(rep.Unmatched) > 0 {
		t.Errorf("%s, %+v, %v, %+v", rep.Verdict, rep.Drift, rep.Notes, rep.Worst)
	}
	if rep.Paper == nil || *rep.Paper.DE00 > 0.2 || rep.Paper.Readings != 40 {
		t.Errorf("paper: %+v", rep.Paper)
	}
	for _, ink := range rep.Inks {
		if ink.Solid == nil || *ink.Solid.DE00 > 0.2 || len(ink.Tones) != 3 {
			t.Fatalf("%+v", ink)
		}
		for _, tone := range ink.Tones {
			if math.Abs(tone.Value-*tone.Aim) > 0.7 {
				t.Errorf("%s %g: %g, aim %g", ink.Name, tone.Nominal, tone.Value, *tone.Aim)
			}
		}
	}
}

// A drift that is planted is found at its metre, with its ink, way and size.
func TestPlantedDriftIsFound(t *testing.T) {
	p, r := demoProfile(t), frameOf(t, 2000)
	for _, c := range []struct {
		name     string
		press    pressed
		ink      string
		from, to float64 // metres; 0 to the end
		words    string
	}{
		{"magenta rises since 400", pressed{dot: func(ink string, v, m float64) float64 {
			if ink == "Magenta" {
				return v + 0.05*min(1, max(0, (m-400)/600))
			}
			return v
		}}, "Magenta", 400, 1000, "Magenta rises: +"},
		{"cyan falls at once at 250", pressed{dot: func(ink string, v, m float64) float64 {
			if ink == "Cyan" && m > 250 {
				return v - 0.03
			}
			return v
		}}, "Cyan", 250, 250, "Cyan falls: -"},
		{"the gold's solid darkens from 600 to 700", pressed{shift: func(p *colour.Patch, m float64) cielab.Lab {
			if p.Name == "Quince Gold" {
				return cielab.Lab{L: -3 * min(1, max(0, (m-600)/100))}
			}
			return cielab.Lab{}
		}}, "Quince Gold", 600, 700, "turns darker"},
		{"the paper yellows since 500", pressed{shift: func(p *colour.Patch, m float64) cielab.Lab {
			if p.What == "paper" {
				return cielab.Lab{B: 2.5 * min(1, max(0, (m-500)/500))}
			}
			return cielab.Lab{}
		}}, "paper", 500, 1000, "the paper turns"},
	} {
		// A slow ramp's ends are as sharp as the noise lets them be.
		within := max(40, (c.to-c.from)/6)
		for seed := range uint64(5) {
			press := c.press
			press.profile, press.noise, press.seed = p, 0.15, seed
			rep := judged(t, r, p, press.measure(t, r, every(40, 2000)))
			found := 0
			for _, d := range rep.Drift {
				if d.Ink != c.ink || !strings.Contains(d.What, c.words) {
					if c.ink != "paper" && !(c.ink == "Quince Gold" && strings.Contains(d.What, "points")) {
						t.Errorf("%s: also %+v", c.name, d)
					}
					continue
				}
				found++
				if math.Abs(d.FromM-c.from) > within || math.Abs(d.ToM-c.to) > within {
					t.Errorf("%s: %+v", c.name, d)
				}
			}
			if found != 1 || rep.Verdict == colour.Pass {
				t.Errorf("%s: found %d times, verdict %s: %+v", c.name, found, rep.Verdict, rep.Drift)
			}
		}
	}
}

// Noise alone is no drift, in a hundred runs at most once in some ink.
func TestNoiseIsNoDrift(t *testing.T) {
	p, r := demoProfile(t), frameOf(t, 2000)
	wrong := 0
	for seed := range uint64(20) {
		rep := judged(t, r, p, pressed{profile: p, noise: 0.4, seed: 100 + seed}.measure(t, r, every(50, 2000)))
		wrong += len(rep.Drift)
	}
	if wrong > 0 {
		t.Errorf("%d drifts in noise", wrong)
	}
}

// What is out of tolerance stops, the patch that is worst first.
func TestOutOfTolerance(t *testing.T) {
	p, r := demoProfile(t), frameOf(t, 2000)
	shift := func(name string, by cielab.Lab) pressed {
		return pressed{profile: p, shift: func(q *colour.Patch, _ float64) cielab.Lab {
			if q.Name == name {
				return by
			}
			return cielab.Lab{}
		}}
	}
	for _, c := range []struct {
		name    string
		press   pressed
		verdict colour.Verdict
		what    string
	}{
		{"Cyan", shift("Cyan", cielab.Lab{L: 8}), colour.Stop, "solid"},
		{"Quince Gold", shift("Quince Gold", cielab.Lab{A: 8}), colour.Stop, "solid"},
		{"paper", shift("paper", cielab.Lab{B: 6}), colour.Stop, "paper"},
		{"paper", shift("paper", cielab.Lab{B: 2.9}), colour.Look, "paper"},
		{"Magenta 50 %", shift("Magenta 50 %", cielab.Lab{L: -7, A: 7}), colour.Stop, "tone"},
		{"grey 50/40/40", shift("grey 50/40/40", cielab.Lab{A: 7}), colour.Stop, "grey"},
		{"Magenta + Yellow", shift("Magenta + Yellow", cielab.Lab{L: 9}), colour.Stop, "overprint"},
		{"Black", pressed{profile: p, shift: func(q *colour.Patch, _ float64) cielab.Lab {
			if q.Name == "Black" && q.Side == "right" {
				return cielab.Lab{L: 4}
			}
			return cielab.Lab{}
		}}, colour.Stop, "sides"},
		{"Black", pressed{profile: p, shift: func(q *colour.Patch, m float64) cielab.Lab {
			if q.Name == "Black" && m > 900 {
				return cielab.Lab{L: 6}
			}
			return cielab.Lab{}
		}}, colour.Stop, "run"},
	} {
		rep := judged(t, r, p, c.press.measure(t, r, every(200, 2000)))
		if rep.Verdict != c.verdict || len(rep.Worst) == 0 {
			t.Errorf("%s, %s: %s, %+v", c.name, c.what, rep.Verdict, rep.Worst)
			continue
		}
		ok := false
		for _, w := range rep.Worst {
			ok = ok || w.Patch == c.name && w.What == c.what && w.Verdict == c.verdict
		}
		if !ok {
			t.Errorf("%s, %s: the worst are %+v", c.name, c.what, rep.Worst)
		}
	}
}

// Correction curves bring a press that is bent to its aims: measured again
// through them, every tone value is right.
func TestCurvesBringToAim(t *testing.T) {
	p, r := demoProfile(t), frameOf(t, 100)
	bend := func(v float64) float64 { return v + 0.25*v*(1-v) }
	press := pressed{profile: p, dot: func(_ string, v, _ float64) float64 { return bend(v) }}
	curves := map[string]colour.Curve{}
	for _, c := range colour.Curves(judged(t, r, p, press.measure(t, r, []int{1}))) {
		curves[c.Ink] = c
	}
	if len(curves) != 5 {
		t.Fatalf("%d curves", len(curves))
	}
	press.dot = func(ink string, v, _ float64) float64 {
		at := curves[ink].Points
		i := min(int(v*20), len(at)-2)
		part := v*20 - float64(i)
		return bend((at[i][1] + part*(at[i+1][1]-at[i][1])) / 100)
	}
	for _, ink := range judged(t, r, p, press.measure(t, r, []int{1})).Inks {
		for _, tone := range ink.Tones {
			if math.Abs(tone.Value-*tone.Aim) > 0.6 {
				t.Errorf("%s %g: %.2f for %.2f", ink.Name, tone.Nominal, tone.Value, *tone.Aim)
			}
		}
	}
}

// More or less ink is advised where a film's thickness is the fault, and the
// hue is named where it is that.
func TestDensityOrHue(t *testing.T) {
	p, r := demoProfile(t), frameOf(t, 100)
	thick := func(k float64) pressed {
		return pressed{profile: p, shift: func(q *colour.Patch, _ float64) cielab.Lab {
			if q.Name != "Magenta" {
				return cielab.Lab{}
			}
			paper, _ := p.Lab([]float64{0, 0, 0, 0})
			solid, _ := p.Lab([]float64{0, 1, 0, 0})
			w, s := paper.XYZ(), solid.XYZ()
			to := cielab.XYZ{X: w.X * math.Pow(s.X/w.X, k), Y: w.Y * math.Pow(s.Y/w.Y, k), Z: w.Z * math.Pow(s.Z/w.Z, k)}.Lab()
			return cielab.Lab{L: to.L - solid.L, A: to.A - solid.A, B: to.B - solid.B}
		}}
	}
	for name, c := range map[string]struct {
		press pressed
		want  string
	}{
		"thin":  {thick(0.75), "more ink would help: about +"},
		"thick": {thick(1.3), "less ink would help: about -"},
		"true":  {thick(1), "leave it"},
		"hue":   {pressed{profile: p, shift: func(*colour.Patch, float64) cielab.Lab { return cielab.Lab{B: 14} }}, "it is the hue"},
	} {
		rep := judged(t, r, p, c.press.measure(t, r, []int{1}))
		if got := rep.Inks[1].Advice; !strings.Contains(got, c.want) {
			t.Errorf("%s: %q", name, got)
		}
	}
}

// Readings that belong to no patch are said, each with its reason; when none
// does, there is no verdict.
func TestUnmatchedReadings(t *testing.T) {
	p, r := demoProfile(t), frameOf(t, 100)
	head := "X\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_NAME PLACE_ACROSS PLACE_AROUND LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n"
	rows := []string{
		`1 Cyan 7 12 55 -37 -50`, // as it should be
		`999 - 7 512 55 -37 -50`, // by its place, in the second repeat
		`- Black 332 27 20 0 0`,  // by its place on the right
		`1 Magenta 7 12 48 74 -3`,
		`1 Cyan 200 12 55 -37 -50`,
		`999 nothing 200 200 55 -37 -50`,
	}
	rep := judged(t, r, p, head+strings.Join(rows, "\n")+"\nEND_DATA\n")
	want := []string{`its id is that of patch 1, Cyan, but its name is "Magenta"`, "was read 200.0 mm across", "no patch stands at 200.0 mm"}
	if len(rep.Unmatched) != len(want) {
		t.Fatalf("%+v", rep.Unmatched)
	}
	for i, w := range want {
		if !strings.Contains(rep.Unmatched[i].Why, w) || rep.Unmatched[i].Line != 9+i {
			t.Errorf("%+v; want %q", rep.Unmatched[i], w)
		}
	}
	path := filepath.Join(t.TempDir(), "none.txt")
	if err := os.WriteFile(path, []byte(head+rows[5]+"\nEND_DATA\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := colour.ReadMeasured(r, []string{path}); err == nil || !strings.Contains(err.Error(), "no reading belongs") {
		t.Errorf("%v", err)
	}
	// A published table of another target has ids of its own.
	if _, err := cgats.Read("/usr/share/color/icc/FOGRA39L.ti3"); err == nil {
		_, err := colour.ReadMeasured(r, []string{"/usr/share/color/icc/FOGRA39L.ti3"})
		if err != nil && !strings.Contains(err.Error(), "belongs") {
			t.Error(err)
		}
	}
}
