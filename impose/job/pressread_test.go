package job

import (
	"errors"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/say"

	"github.com/google/go-cmp/cmp"
)

const smallPress = `
name: small
web-max: 340mm
edge: 10mm
frame-max: 980mm
stations: 12
speeds: [{inks: 6, speed: 120m/min}, {inks: 12, speed: 60m/min}]
setup: 60m
run-waste: 3%
`

const fullPress = smallPress + `
web-min: 100mm
target-lane: 7mm
setup-time: 6min
setup-per-ink: 5m
setup-time-per-ink: 1.5min
consumables: [{name: blanket, life: 25000m, price: 900}]
unwinder: {non-stop: true, roll-change: 5min, saves: 10min/h, master-roll: 2000m}
finishing: {die-cutting: 100m/min, other: 180m/min, setup-time: 0.5h, windings: 2,
  stations: [{kind: flat-bed, width: 300mm, stroke: 350mm}, {kind: full-rotary, pitch: 32 DP}],
  cylinders: [{pitch: 1/8in, teeth: [60, 96]}, {pitch: module 1, teeth: 100}],
  stripping: [{material: film, refuse: 2mm, warn: 3mm}], edge-matrix: 4mm, unused-lanes: true}
webs: [250mm, 340mm]
resolution: {device: 1600dpi, enough: 800dpi}
stock: {thinnest: 12.7um, thickest: 457um}
in-stock: [{width: 250mm, material: film, length: 1200m, price: 0.3/m2, remainder: true}, {width: 340mm}]
changes: {material: 8min, web: 5min, ink: 90s, die: 0.2h}
shifts: [{from: 22:00, to: "02:00"}, {from: 2:30, to: 6:00}]
prices: {currency: EUR, web: 0.35/m2, press: 180/h, finishing: 90 /h, setup: 40, tool: 420, tools: [{station: flat-bed, price: 95}, {outline: true, price: 240}],
  materials: [{material: film, web: 0.42/m2}], ink-area: 0.01/m2, ink: {all: 40/kg, white: 25/kg}, roll: 0.3, part-roll: 0.5, splice: 0.4, overs: 1.5/1000, sorting: 2/1000}
ink-use: {all: 1.2g/m2, white: 2.5 g/m2, Quince Gold: 1.4g/m2}
fine-text: 6pt
fine-line: 0.5pt
from-cut: 0mm
ink-limit: 320%
`

func TestEveryPressKeyReachesItsField(t *testing.T) {
	got, err := ParsePress("press.yaml", []byte(fullPress))
	if err != nil {
		t.Fatal(err)
	}
	lane := 7 * mm
	want := &Press{
		Name: "small", WebMin: 100 * mm, WebMax: 340 * mm, Edge: 10 * mm, TargetLane: &lane,
		LongestFrame: 980 * mm, Stations: 12,
		Speeds: []SpeedStep{{6, 120 * geometry.Metre}, {12, 60 * geometry.Metre}},
		Setup:  60 * geometry.Metre, SetupMin: 6, RunWaste: 3 * geometry.Percent,
		InkSetup: 5 * geometry.Metre, InkSetupMin: 1.5,
		Consumables: []Consumable{{"blanket", 25_000 * geometry.Metre, 900}},
		Unwinder:    Unwinder{true, 5, 10, 2000 * geometry.Metre},
		Finishing: Finishing{
			DieCutting: 100 * geometry.Metre, Other: 180 * geometry.Metre, SetupMin: 30, Windings: 2,
			Stations: []geometry.DieStation{
				{Kind: geometry.FlatBed, Width: 300 * mm, Stroke: 350 * mm},
				{Kind: geometry.FullRotary, Gear: geometry.DiametralPitch(32)},
			},
			Cylinders: []geometry.Cylinder{
				{Teeth: 60, Gear: geometry.CircularPitch(3_175_000)}, {Teeth: 96, Gear: geometry.CircularPitch(3_175_000)},
				{Teeth: 100, Gear: geometry.Module(mm)},
			},
			Stripping:  []geometry.Stripping{{Material: "film", Refuse: 2 * mm, Warn: 3 * mm}},
			EdgeMatrix: 4 * mm, UnusedLanes: true,
		},
		Webs:       []geometry.Length{250 * mm, 340 * mm},
		Resolution: Resolution{1600, 1600, 800},
		Stock:      StockRange{12_700, 457_000},
		FineText:   geometry.FromPoints(6),
		FineLine:   geometry.FromPoints(.5),
		FromCut:    new(geometry.Length),
		InkLimit:   320 * geometry.Percent,
		InkUse:     InkFigures{1.2, map[string]float64{"white": 2.5, "Quince Gold": 1.4}},
		Lots:       []Lot{{250 * mm, "film", 1200 * geometry.Metre, 0.3, true}, {Width: 340 * mm}},
		Changes:    Changes{8, 5, 1.5, 12},
		Shifts:     []Shift{{22 * 60, 2 * 60}, {26*60 + 30, 30 * 60}},
		Prices: &Prices{
			Currency: "EUR", WebPerM2: 0.35, PressPerHour: 180, FinishPerHour: 90, PerSetup: 40, NewTool: 420, NewTools: []ToolPrice{{Station: geometry.FlatBed, Price: 95}, {Outline: true, Price: 240}},
			Materials: []MaterialPrice{{"film", 0.42}}, InkPerM2: 0.01, PerRoll: 0.3, PerPartRoll: 0.5, PerSplice: 0.4, PerOver: 0.0015, PerSorted: 0.002,
			InkPerKg: InkFigures{40, map[string]float64{"white": 25}},
		},
	}
	if diff := cmp.Diff(want, got, noSources); diff != "" {
		t.Error(diff)
	}
	for _, key := range keysOf(pressKeys) {
		if got.At(key).Line <= 1 {
			t.Errorf("%s is not in the full press", key)
		}
	}
}

// Speed by ink count is common practice, no source.
func TestSpeed(t *testing.T) {
	p, err := ParsePress("press.yaml", []byte(smallPress))
	if err != nil {
		t.Fatal(err)
	}
	for inks, want := range map[int]geometry.Length{
		0: 120 * geometry.Metre, 1: 120 * geometry.Metre, 6: 120 * geometry.Metre,
		7: 60 * geometry.Metre, 12: 60 * geometry.Metre,
	} {
		if got, err := p.Speed(inks); err != nil || got != want {
			t.Errorf("%d inks run at %s, %v; want %s", inks, got, err, want)
		}
	}
	_, err = p.Speed(13)
	if say.KindOf(err) != say.Inks || !strings.Contains(err.Error(), "13 printing inks are more than the 12 that") {
		t.Errorf("13 inks: %v", err)
	}
	p.Stations = 4
	if err := second(p.Speed(5)); say.KindOf(err) != say.Inks || !strings.Contains(err.Error(), "5 printing inks are more than the 4 that") {
		t.Errorf("5 inks on 4 stations are not refused")
	}
}

func second(_ geometry.Length, err error) error { return err }

// Each station has its own make-ready: common practice, no source.
func TestSetUpGrowsWithTheInks(t *testing.T) {
	j := New()
	j.Press, _ = ParsePress("press.yaml", []byte(fullPress))
	got, err := j.Terms(4)
	if err != nil || got.Setup != (60+4*5)*geometry.Metre || got.SetupMin != 6+4*1.5 {
		t.Errorf("4 inks: %+v, %v", got, err)
	}
	once := 30 * geometry.Metre
	j.Run.Setup = &once
	if got, err = j.Terms(4); err != nil || got.Setup != once || got.SetupMin != 12 {
		t.Errorf("with the job's own make-ready: %+v, %v", got, err)
	}
}

func TestTermsOverrideThePress(t *testing.T) {
	j := New()
	j.Press, _ = ParsePress("press.yaml", []byte(smallPress))
	got, err := j.Terms(7)
	want := geometry.Terms{Setup: 60 * geometry.Metre, RunWaste: 3 * geometry.Percent, Speed: 60 * geometry.Metre}
	if err != nil || got != want {
		t.Errorf("terms %+v, %v", got, err)
	}
	none, overs, slow := geometry.Length(0), 10*geometry.Percent, 30*geometry.Metre
	j.Run = Terms{Setup: &none, Overs: &overs, Speed: &slow, Frames: 7}
	got, err = j.Terms(1)
	want = geometry.Terms{RunWaste: 3 * geometry.Percent, Overs: overs, Speed: slow, Frames: 7}
	if err != nil || got != want {
		t.Errorf("terms %+v, %v", got, err)
	}
	if got, err := j.Terms(13); err == nil {
		t.Errorf("a speed of the job's own lets 13 inks through: %+v", got)
	}
}

// TestLotsAreOfTheirMaterial: what is named keeps the nameless lots away, in
// whatever letters it is written.
func TestLotsAreOfTheirMaterial(t *testing.T) {
	p, err := ParsePress("press.yaml", []byte(fullPress))
	if err != nil {
		t.Fatal(err)
	}
	if l := p.LotsOf(" FILM"); len(l) != 1 || l[0].Width != 250*mm {
		t.Errorf("film: %+v", l)
	}
	if l := p.LotsOf("paper"); len(l) != 1 || l[0].Width != 340*mm {
		t.Errorf("paper: %+v", l)
	}
	if film, paper := p.Prices.Web("Film"), p.Prices.Web("paper"); film != 0.42 || paper != 0.35 {
		t.Errorf("film costs %v and paper %v, want 0.42 and 0.35", film, paper)
	}
}

func TestShiftsThatCannotBe(t *testing.T) {
	for shifts, want := range map[string]string{
		"[{from: 22:00, to: 6:00}, {from: 5:00, to: 7:00}]":   "overlaps another shift",
		"[{from: 22:00, to: 6:00}, {from: 21:00, to: 23:00}]": "overlaps another shift",
		"[{from: 25:00, to: 6:00}]":                           `"25:00" is no time of day`,
	} {
		_, err := ParsePress("press.yaml", []byte(smallPress+"shifts: "+shifts+"\n"))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", shifts, err)
		}
	}
}

// An ink's own figure goes before its kind's, and that before the one of all.
func TestInkFigures(t *testing.T) {
	p, err := ParsePress("press.yaml", []byte(fullPress))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, kind string
		want       float64
	}{{"Quince Gold", "spot", 1.4}, {"White 2", "white", 2.5}, {"Black", "process", 1.2}} {
		if got := p.InkUse.Of(c.name, c.kind); got != c.want {
			t.Errorf("%s takes %g g/m2, want %g", c.name, got, c.want)
		}
	}
	one, err := ParsePress("press.yaml", []byte(smallPress+"ink-use: 1.1g/m2\n"))
	if err != nil {
		t.Fatal(err)
	}
	if got := one.InkUse.Of("Black", "process"); got != 1.1 {
		t.Errorf("one figure for all gives %g, want 1.1", got)
	}
	for _, wrong := range []string{"ink-use: 1.2\n", "ink-use: {white: 3kg}\n", "ink-use: {all: 1g/m2, all: 2g/m2}\n", "prices: {currency: EUR, ink: 40/kg}\n"} {
		if _, err := ParsePress("press.yaml", []byte(smallPress+wrong)); err == nil {
			t.Errorf("%q is taken", wrong)
		}
	}
}

// TestToolPrices: the price of a tool is that of its station and shape, else of its
// shape, else of its station, else that of any.
func TestToolPrices(t *testing.T) {
	p, err := ParsePress("press.yaml", []byte(smallPress+"prices: {currency: EUR, tool: 100, tools: [{station: flat-bed, price: 60}, {outline: true, price: 200}, {station: flat-bed, outline: true, price: 150}]}\n"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		kind  geometry.StationKind
		shape geometry.Shape
		want  float64
	}{
		{geometry.FullRotary, "", 100}, {geometry.FlatBed, geometry.ShapeCircle, 60},
		{geometry.SemiRotary, geometry.ShapeOutline, 200}, {geometry.FlatBed, geometry.ShapeOutline, 150},
	} {
		if got := p.Prices.Tool(c.kind, c.shape); got != c.want {
			t.Errorf("%s %s: %g, want %g", c.kind, c.shape, got, c.want)
		}
	}
	for text, want := range map[string]string{
		"{price: 60}":                                          "a price for no kind of tool",
		"{station: laser, price: 60}":                          "station",
		"{station: flat-bed}":                                  "price",
		"{station: flat-bed, price: -60}":                      "price",
		"{outline: true, price: 1}, {outline: true, price: 2}": "two prices for one kind",
	} {
		if _, err := ParsePress("press.yaml", []byte(smallPress+"prices: {currency: EUR, tools: ["+text+"]}\n")); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		} else if file := (*FileError)(nil); !errors.As(err, &file) || len(file.Faults) != 1 {
			t.Errorf("%s: it is told as %v", text, err)
		}
	}
}
