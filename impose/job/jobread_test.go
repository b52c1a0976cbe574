package job

import (
	"errors"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"time"

	"quoin/geometry"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

const mm = geometry.Millimetre

var noSources = cmp.Options{
	cmpopts.IgnoreUnexported(Job{}, Press{}, Order{}, Library{}),
	cmp.Comparer(func(a, b geometry.Gear) bool { return a == b }),
}

func parse1(t *testing.T, text string) (*Job, error) {
	t.Helper()
	return Houses(nil).ParseJob("job.yaml", []byte(text), func(path string, _ int64) ([]byte, error) {
		if path == "dies.yaml" {
			return []byte("dies: []"), nil
		}
		return nil, fs.ErrNotExist
	})
}

func mustParse(t *testing.T, text string) *Job {
	t.Helper()
	j, err := parse1(t, text)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// Every key of a job file, with a value that is not its default.
const fullJob = `
name: 004512
web: 330mm
edge: 4mm
target-lane: 7mm
material: {name: wood-free paper, kind: paper, caliper: 0.006in}
label: 2in x 3in
shape: rectangle
radius: 2mm
cutting: true
edge-matrix: 4mm
gap: 3x4mm
bleed: 1/16in
turn: [90, 270]
teeth: 96
pitch: 1/8in CP
lanes: 5
rows: 4
shift: -2mm
second-surface: true
artworks:
  - {file: a.pdf, page: 2, product: Juice, quantity: 1000, lanes: [1, 3, 5]}
  - {file: b.pdf, quantity: 500, lanes: [2, 4]}
marks:
  register: {size: 4mm, line: 0.15mm}
  eye: {size: 3x5mm, ink: Deep Blue, side: right, offset: 1mm, every: row, track: 6mm}
  slit: false
  centre: false
  trim: true
  slug: false
targets: {patch: 6x4mm, tints: [50%], grey: false, overprints: false, along: false, side: left}
inks:
  aliases: {Reflx Blue: Deep Blue, "100": Century}
  silence: [Notes]
  technical: Cutting
  white: [Opaque White]
  varnish: [Gloss]
  spot: [White Wine]
  underprint: {ink: Opaque White, shape: artwork, choke: 0.2mm, hits: 2}
output-intent: {profile: p.icc, condition: C1, registry: R, info: I, conflict: warn}
setup: 50m
setup-time: 90s
run-waste: 2.5%
overs: 5%
speed: 1m/s
winding: face in, left leads
windings: 1
roll: {labels: 1000, core: 76mm, max-diameter: 300mm, splices: true}
flexo: {for: varnish, plate: 1.14mm, backing: 0.1mm, repeat: 304.8mm}
orders: {columns: {order: Auftrag, quantity: Menge}, dates: d/m/y, decimal-mark: comma, encoding: windows-1252, sheet: Export, header: 4}
dies: dies.yaml
date: 2026-03-31
permitted-by: The owner
long-content: true
from-cut: 1.5mm
data:
  file: codes.csv
  check-digits: [{column: gtin, scheme: gs1, add: true}]
  counters: [{name: serial, start: 5, step: 2, digits: 7, check-digit: luhn}, {name: n}]
  order: across
  spare: void
  device-dpi: 1600x800dpi
  unique: [gtin, serial]
  bar-width-reductions: [{ink: Black, dots: 1}]
fields:
  - {name: code, value: "(01){gtin}", at: 5x2mm, turn: 90, ink: Deep Blue, overprint: true, symbol: gs1-qr, module: 0.5mm, level: Q, modules: 25}
  - {gs1: {01: "{gtin}", 21: "{n}"}, link: "https://example.com", at: 9x9mm, symbol: qr, health-care: true}
  - {value: "Lot {n}", at: 0x9mm, font: mono, cap: 2mm, width: 30mm, align: right, fit: squeeze, least-width: 80%}
unused-lanes: true
`

func TestEveryKeyReachesItsField(t *testing.T) {
	got := mustParse(t, fullJob)
	ptr := func(l geometry.Length) *geometry.Length { return &l }
	waste, overs, minutes, yes := 25*geometry.Percent/10, 5*geometry.Percent, 1.5, true
	want := &Job{
		Name: "004512", Dir: ".", Date: time.Date(2026, 3, 31, 0, 0, 0, 0, time.UTC),
		WebWidth: 330 * mm, Edge: ptr(4 * mm), TargetLane: ptr(7 * mm),
		Material: Material{"wood-free paper", "paper", 152_400},
		Shape:    geometry.ShapeRectangle, Cutting: true, Radius: ptr(2 * mm), EdgeMatrix: ptr(4 * mm), UnusedLanes: new(true), Dies: &Library{Dies: []geometry.Die{}},
		Label:   geometry.Size{Across: 50_800_000, Around: 76_200_000},
		Gap:     geometry.Size{Across: 3 * mm, Around: 4 * mm},
		Bleed:   1_587_500,
		FromCut: new(1500 * geometry.Micrometre),
		Turns:   []geometry.Turn{geometry.Turn90, geometry.Turn270},
		Repeat:  Repeat{Teeth: 96, Gear: geometry.CircularPitch(3_175_000)},
		Lanes:   5, Rows: 4, Shift: -2 * mm, Mirror: true, PermittedBy: "The owner", LongContent: true,
		Artworks: []Artwork{
			{File: "a.pdf", Page: 2, Product: "Juice", Quantity: 1000, LaneList: []int{1, 3, 5}},
			{File: "b.pdf", Page: 1, Quantity: 500, LaneList: []int{2, 4}},
		},
		Marks: Marks{
			Register: Register{true, 4 * mm, 150_000},
			Eye:      &EyeMark{geometry.Size{Across: 3 * mm, Around: 5 * mm}, "Deep Blue", Right, 1 * mm, EveryRow, 6 * mm},
			Trim:     true,
		},
		Targets: Targets{
			On: true, Patch: geometry.Size{Across: 6 * mm, Around: 4 * mm},
			Tints: []geometry.Share{50 * geometry.Percent}, Side: Left,
		},
		Inks: InkRules{
			Aliases: []Alias{{"Reflx Blue", "Deep Blue"}, {"100", "Century"}},
			Silence: []string{"Notes"}, Technical: []string{"Cutting"}, White: []string{"Opaque White"},
			Varnish: []string{"Gloss"}, Spot: []string{"White Wine"},
			Underprint: &Underprint{"Opaque White", ByShape, 200_000, 2},
		},
		Output: OutputIntent{"p.icc", "C1", "R", "I", Warn},
		Run: Terms{
			Setup: ptr(50 * geometry.Metre), SetupMin: &minutes, RunWaste: &waste, Overs: &overs,
			Speed: ptr(60 * geometry.Metre),
		},
		Winding: &geometry.Winding{Face: geometry.FaceIn, Leading: geometry.LeftLeads}, Windings: 1,
		Data: &Data{
			File:     "codes.csv",
			Digits:   []DataDigits{{"gtin", SchemeGS1, true}},
			Counters: []Counter{{Name: "serial", Start: 5, Step: 2, Digits: 7, Check: SchemeLuhn}, {Name: "n", Start: 1, Step: 1}},
			Order:    OrderAcross, Spare: SpareVoid, DPI: 1600, Around: 800,
			Unique: []string{"gtin", "serial"}, Reductions: []Reduction{{"Black", 1}},
		},
		Fields: []Field{
			{
				Name: "code", Value: "(01){gtin}", At: geometry.Size{Across: 5 * mm, Around: 2 * mm}, Turn: geometry.Turn90,
				Ink: "Deep Blue", Overprint: true, Symbol: "gs1-qr", Module: 500_000, Level: "Q", Modules: 25,
			},
			{
				Elements: []Element{{"01", "{gtin}"}, {"21", "{n}"}}, Link: "https://example.com", At: geometry.Size{Across: 9 * mm, Around: 9 * mm},
				Ink: "Black", Symbol: "qr", HealthCare: true,
			},
			{
				Value: "Lot {n}", At: geometry.Size{Around: 9 * mm}, Ink: "Black", Font: "mono", Cap: 2 * mm, Width: 30 * mm,
				Align: "right", Fit: "squeeze", LeastWidth: 80 * geometry.Percent,
			},
		},
		Orders: OrderForm{
			Columns: map[string]string{"order": "Auftrag", "quantity": "Menge"}, Dates: DayFirst, DecimalMark: DecimalComma,
			Encoding: "windows-1252", Sheet: "Export", Header: 4,
		},
		Roll:  Roll{Labels: 1000, Core: 76 * mm, MaxDiameter: 300 * mm, Splices: &yes},
		Flexo: &FlexoUnit{"varnish", geometry.Plate{Thickness: 1140 * geometry.Micrometre, Backing: 100 * geometry.Micrometre}, 304800 * geometry.Micrometre},
	}
	if diff := cmp.Diff(want, got, noSources); diff != "" {
		t.Error(diff)
	}
	if err := got.Validate(); err != nil {
		t.Error(err)
	}
}

func TestEveryJobKeyIsInTheFullJob(t *testing.T) {
	j := mustParse(t, fullJob)
	for _, key := range keysOf(jobKeys) {
		// Of the rules for the frame's length only one may be said, no press stands
		// beside the test, and the full job is neither nested nor on a die.
		if slices.Contains([]string{"frame-max", "repeat", "press", "die", "outline", "outline-layer", "ignore-die-line", "nest", "nest-upright", "nest-apart"}, key) {
			continue
		}
		if _, ok := j.source.find(key); !ok {
			t.Errorf("%s is not in the full job", key)
		}
	}
}

func TestShortWords(t *testing.T) {
	j := mustParse(t, "turn: auto\nmarks: {register: false, eye: true}\ntargets: false\ninks: {underprint: true}")
	if diff := cmp.Diff(AutoTurns(), j.Turns); diff != "" {
		t.Error(diff)
	}
	if j.Marks.Register.On || j.Targets.On {
		t.Error("false doesn't switch off")
	}
	if j.Marks.Eye == nil || *j.Marks.Eye != DefaultEyeMark() {
		t.Errorf("eye: true gives %+v", j.Marks.Eye)
	}
	if j.Inks.Underprint == nil || *j.Inks.Underprint != DefaultUnderprint() {
		t.Errorf("underprint: true gives %+v", j.Inks.Underprint)
	}
}

func TestEmptyMappingGivesTheDefaults(t *testing.T) {
	want := New()
	want.Dir = "."
	if diff := cmp.Diff(want, mustParse(t, "{}"), noSources); diff != "" {
		t.Error(diff)
	}
}

func TestPositions(t *testing.T) {
	j := mustParse(t, fullJob)
	for key, want := range map[string]string{
		"name":                       "job.yaml:2:7",
		"artworks[1].file":           "job.yaml:23:12",
		"artworks[1].page":           "job.yaml:23:5", // not said: the artwork
		"artworks[7].page":           "job.yaml:22:3", // no such artwork: the list
		"inks.aliases[Reflx Blue]":   "job.yaml:33:25",
		"frame-max":                  "job.yaml:1:1",
		"marks.register.size.across": "job.yaml:25:20",
	} {
		if got := j.At(key).String(); got != want {
			t.Errorf("%s stands at %s, want %s", key, got, want)
		}
	}
	if got := New().At("web"); got != (Position{}) {
		t.Errorf("a job from no file has a position: %v", got)
	}
}

func TestPressOfAJob(t *testing.T) {
	open := func(path string, _ int64) ([]byte, error) {
		if path != "shop/press.yaml" {
			t.Errorf("opened %s", path)
		}
		return []byte(smallPress), nil
	}
	j, err := Houses(nil).ParseJob("shop/job.yaml", []byte("press: press.yaml\nweb: 200mm\nlabel: 50x75mm"), open)
	if err != nil {
		t.Fatal(err)
	}
	want := geometry.Web{Width: 200 * mm, Edge: 10 * mm, TargetLane: DefaultTargetLane}
	if got := j.Web(); got != want {
		t.Errorf("web is %+v, want %+v", got, want)
	}
	if got := j.Request().Repeat; got != (geometry.Repeat{Max: 980 * mm}) {
		t.Errorf("the repeat is %+v, not the press's longest frame", got)
	}
	zero := geometry.Length(0)
	j.Edge, j.TargetLane = &zero, &zero
	if got := j.Web().Band(); got != 200*mm {
		t.Errorf("edges of 0 leave a band of %s", got)
	}

	_, err = Houses(nil).ParseJob("job.yaml", []byte("press: press.yaml\nweb: 1"), func(string, int64) ([]byte, error) {
		return []byte("name: p\nstatoins: 6"), nil
	})
	e, ok := errors.AsType[*FileError](err)
	if !ok || len(e.Faults) < 3 {
		t.Fatalf("faults of both files: %v", err)
	}
	if first, last := e.Faults[0], e.Faults[len(e.Faults)-1]; first.Path != "job.yaml" || last.Path != "press.yaml" {
		t.Errorf("faults are of %s and %s", first.Path, last.Path)
	}
}

func TestDieOfAJob(t *testing.T) {
	const dies = "dies: [{number: 0101, size: 50x75mm, lanes: 6, rows: 4, gap: 3x4.375mm, teeth: 100, pitch: 1/8in, station: full-rotary}]"
	open := func(path string, _ int64) ([]byte, error) {
		if path != "shop/dies.yaml" {
			t.Errorf("opened %s", path)
		}
		return []byte(dies), nil
	}
	const start = "web: 340mm\nframe-max: 980mm\nartworks: [{file: a.pdf, quantity: 1}]\n"
	for _, c := range []struct{ text, want string }{
		{"dies: dies.yaml\ndie: 0101", ""},
		{"dies: dies.yaml\ndie: 101", `did you mean 0101`},
		{"die: 0101", `name the die library`},
		{"dies: dies.yaml\ndie: 0101\nshift: 2mm", `stands in the middle`},
		{"shape: circle\nradius: 2mm", `only a rectangle has one`},
		{"dies: dies.yaml\ndie: 0101\nnest: true", `a nested layout decides it`},
		{"nest: true\nlanes: 3", `lanes: a nested layout decides it`},
		{"shape: outline", `belong together`},
		{"nest: true\nartworks: [{file: a.pdf, quantity: 1, lanes: 2}]", `decides the lanes`},
		{"outline: leaf.dxf", ""},
	} {
		text := start + c.text
		if strings.Contains(c.text, "artworks") {
			text = strings.Replace(text, "artworks: [{file: a.pdf, quantity: 1}]\n", "", 1)
		}
		j, err := Houses(nil).ParseJob("shop/job.yaml", []byte(text), open)
		if err != nil {
			t.Fatal(err)
		}
		err = j.Validate()
		if c.want == "" && (err != nil || j.Die != "" && (j.Tool() == nil || j.Tool().Lanes != 6)) {
			t.Errorf("%q: %v, die %+v", c.text, err, j.Tool())
		} else if c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%q: %v, want %s", c.text, err, c.want)
		}
	}
}

// TestWish has no web and no gap of its own: the press's stock and the house's
// gap serve.
func TestWish(t *testing.T) {
	j, err := Houses(nil).ParseJob("job.yaml", []byte("press: p.yaml\nmaterial: {kind: film}\nlabel: 50x75mm\nartworks: [{file: a.pdf, quantity: 7}, {file: b.pdf, quantity: 5}]"),
		func(string, int64) ([]byte, error) {
			return []byte(smallPress + "\nwebs: [200mm, 250mm]\nfinishing: {edge-matrix: 4mm, unused-lanes: true, stripping: [{material: film, refuse: 2.1mm, warn: 3mm}]}"), nil
		})
	if err != nil {
		t.Fatal(err)
	}
	if err := j.ValidateFit(); err != nil {
		t.Fatal(err)
	}
	w, err := j.Wish(j.Label, 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(w.Webs) != 2 || w.Webs[1].Width != 250*mm || w.Webs[1].Edge != 10*mm || w.EdgeMatrix != 4*mm || !w.UnusedLanes ||
		w.Stripping.Refuse != 2_100_000 || w.Radius != geometry.AnyRadius || w.Quantity != 12 || w.Gap.Across != DefaultGap {
		t.Errorf("%+v", w)
	}
	j.WebWidth = 400 * mm
	if err := j.ValidateFit(); err == nil || !strings.Contains(err.Error(), "wider than") {
		t.Errorf("a web of 400 mm: %v", err)
	}
}

func TestMissingFileIsItsOwnError(t *testing.T) {
	j, err := Houses(nil).ReadJob(t.TempDir()+"/none.yaml", nil)
	if j != nil || !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("got %v, %v", j, err)
	}
}

func TestCommonPartsHaveNoArtworksAndNoPlaces(t *testing.T) {
	j, err := Houses(nil).ReadJob(samples+"job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	c := j.Common()
	if len(c.Artworks) > 0 || c.At("artworks[0].file") != (Position{}) || c.Label != j.Label || c.Press != j.Press {
		t.Errorf("%+v", c)
	}
	if len(j.Artworks) == 0 || j.At("artworks[0].file").Line == 0 {
		t.Error("the job itself was changed")
	}
}

// Pages of one file are one line: each with the entry's quantity, on lanes that
// are neighbours. Places in the file stay those of the entry.
func TestPagesAreOneLine(t *testing.T) {
	j := mustParse(t, `
web: 340mm
frame-max: 900mm
artworks:
  - {file: label.pdf, pages: [1, 2], quantity: 500, lanes: [1, 2, 3, 4], password: hush}
  - {file: other.pdf, page: 3, quantity: 100, lanes: [5]}
`)
	want := []Artwork{
		{File: "label.pdf", Page: 1, Quantity: 500, LaneList: []int{1, 3}, Password: "hush"},
		{File: "label.pdf", Page: 2, Quantity: 500, LaneList: []int{2, 4}, Password: "hush"},
		{File: "other.pdf", Page: 3, Quantity: 100, LaneList: []int{5}},
	}
	if diff := cmp.Diff(want, j.Artworks); diff != "" {
		t.Error(diff)
	}
	if a, b, c := j.At(j.ArtworkKey(0)+".file").Line, j.At(j.ArtworkKey(1)+".file").Line, j.At(j.ArtworkKey(2)+".page").Line; a != 5 || b != 5 || c != 6 {
		t.Errorf("lines %d, %d and %d", a, b, c)
	}
	if got, none := j.PasswordOf("label.pdf"), j.PasswordOf("other.pdf"); got != "hush" || none != "" {
		t.Errorf("passwords %q and %q, want %q and none", got, none, "hush")
	}
	if _, err := Houses(nil).ParseJob("job.yaml", []byte("artworks:\n  - {file: a.pdf, pages: [1, 2], lanes: [1, 2, 3]}\n"), nil); err == nil || !strings.Contains(err.Error(), "lists 3 lanes for 2 pages") {
		t.Error(err)
	}
}
