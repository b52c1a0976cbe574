package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"quoin/impose/desk/edit"
	"quoin/impose/job"
	"quoin/impose/say"
)

// Group is values that belong together. The first group holds those that decide;
// the others are folded away.
type Group struct {
	Title  string  `json:"title"`
	Values []Value `json:"values"`
}

// Value is a value of the job with what it is now.
type Value struct {
	Key   string `json:"key"` // in the job file
	Label string `json:"label"`
	Unit  string `json:"unit,omitempty"`
	Kind  Kind   `json:"kind"`
	// Said is what the file says; empty where it says nothing, and then Now is
	// taken from the press, the die, the artwork or the house.
	Said    string   `json:"said"`
	Now     string   `json:"now,omitempty"`
	House   string   `json:"house,omitempty"` // file and line that Now is taken from, where a house says it
	Step    string   `json:"step,omitempty"`  // by which keys and wheel change it
	Choices []string `json:"choices,omitempty"`
	Fault   string   `json:"fault,omitempty"`
	Hint    string   `json:"hint,omitempty"`
	Ways    []Way    `json:"ways,omitempty"` // that mend it
}

// Kind is how a value is written.
type Kind string

// The kinds.
const (
	Length Kind = "length"
	Size   Kind = "size" // across x around
	Count  Kind = "count"
	Choice Kind = "choice"
	Switch Kind = "switch"
	Share  Kind = "share" // per cent
	Text   Kind = "text"
)

// Order is how the outermost keys of a job file follow each other.
var Order = []string{"name", "date", "press", "web", "edge", "target-lane", "material", "label", "shape", "outline", "outline-layer", "radius", "nest",
	"nest-upright", "nest-apart", "cutting", "gap", "bleed", "turn", "shift", "second-surface", "dies", "die", "edge-matrix", "unused-lanes", "lanes", "rows",
	"frame-max", "repeat", "teeth", "pitch", "artworks", "permitted-by", "long-content", "marks", "targets", "inks", "output-intent",
	"setup", "setup-time", "run-waste", "overs", "speed", "frames", "winding", "windings", "flexo", "roll", "data", "fields"}

// row is a value of the table below.
type row struct {
	key, label string
	kind       Kind
	step       string
	choices    []string
}

var windings = []string{"face out, top leads", "face out, bottom leads", "face out, left leads", "face out, right leads",
	"face in, top leads", "face in, bottom leads", "face in, left leads", "face in, right leads"}

// folded are the values that most jobs leave alone.
var folded = []struct {
	title string
	rows  []row
}{
	{"Order", []row{{"name", "Name", Text, "", nil}, {"overs", "Overs", Share, "0.5", nil}, {"date", "Date", Text, "", nil}}},
	{"Web and material", []row{{"press", "Press file", Text, "", nil}, {"edge", "Unprintable edge", Length, "0.5", nil}, {"target-lane", "Target lane", Length, "0.5", nil},
		{"edge-matrix", "Edge matrix", Length, "0.5", nil}, {"unused-lanes", "Dies wider than the web", Switch, "", nil}, {"shift", "Block off centre", Length, "0.5", nil},
		{"material.name", "Material", Text, "", nil}, {"material.kind", "Kind", Text, "", nil}, {"material.caliper", "Caliper", Text, "", nil}}},
	{"Label", []row{{"label", "Trim", Size, "0.5", nil}, {"shape", "Shape", Choice, "", []string{"rectangle", "circle", "ellipse", "outline"}}, {"radius", "Corner radius", Length, "0.5", nil},
		{"outline", "Outline file", Text, "", nil}, {"nest", "Nest closely", Switch, "", nil}, {"nest-upright", "Nest upright", Switch, "", nil},
		{"cutting", "Draw the cut", Switch, "", nil}, {"second-surface", "Print on the second surface", Switch, "", nil}}},
	{"Frame", []row{{"dies", "Die room file", Text, "", nil}, {"frame-max", "Longest frame", Length, "5", nil}, {"repeat", "Fixed repeat", Length, "1", nil},
		{"teeth", "Cylinder teeth", Count, "1", nil}, {"pitch", "Gear pitch", Text, "", nil}}},
	{"Finished rolls", []row{{"roll.labels", "Labels a roll", Count, "100", nil}, {"roll.core", "Core", Length, "1", nil}, {"roll.max-diameter", "Largest diameter", Length, "5", nil},
		{"roll.splices", "Splices allowed", Switch, "", nil}, {"windings", "Wound up, times", Count, "1", nil}}},
	{"Marks and targets", []row{{"marks.slit", "Slit marks", Switch, "", nil}, {"marks.centre", "Centre marks", Switch, "", nil}, {"marks.trim", "Trim marks", Switch, "", nil},
		{"marks.slug", "Slug line", Switch, "", nil}, {"targets.patch", "Patch", Size, "0.5", nil}, {"targets.grey", "Grey targets", Switch, "", nil},
		{"targets.overprints", "Overprint targets", Switch, "", nil}, {"targets.along", "Along the frame", Switch, "", nil}}},
	{"Run", []row{{"setup", "Make-ready web", Length, "1000", nil}, {"run-waste", "Run waste", Share, "0.5", nil}, {"speed", "Speed", Text, "", nil}}},
	{"Inks", []row{{"inks.underprint.ink", "Underprint ink", Text, "", nil}, {"inks.underprint.choke", "Underprint choke", Length, "0.05", nil},
		{"output-intent.conflict", "Intents that disagree", Choice, "", []string{"refuse", "warn"}}}},
}

// values returns all values with what the text says of them.
func values(r *Result, text []byte) []Group {
	f := filler{r: r, said: edit.Values(text), house: map[string]taken{}}
	for _, h := range r.Houses {
		for _, t := range h.Took {
			f.house[t.Key] = taken{t.Value, h.Path + ":" + strconv.Itoa(t.Line)}
		}
	}
	groups := []Group{{"", f.deciding(text)}}
	for _, g := range folded {
		var list []Value
		for _, row := range g.rows {
			now := ""
			if s := r.Summary; s != nil && row.key == "label" && !s.Layout.LanesDiffer {
				now = say.Digits(s.Layout.LabelMM[0]) + "x" + say.Digits(s.Layout.LabelMM[1])
			}
			list = append(list, f.value(row, now))
		}
		groups = append(groups, Group{g.title, list})
	}
	return groups
}

type filler struct {
	r    *Result
	said map[string]string
	// house has what house files say, where the job takes it.
	house map[string]taken
}

// taken is a value with the place that it is taken from.
type taken struct{ value, from string }

// given reports whether the job or its house says a value.
func (f filler) given(key string) bool { return f.said[key] != "" || f.house[key].from != "" }

func (f filler) value(row row, now string) Value {
	v := Value{Key: row.key, Label: row.label, Kind: row.kind, Step: row.step, Choices: row.choices, Said: f.said[row.key], Now: now}
	if t, ok := f.house[row.key]; ok && v.Said == "" {
		v.House = t.from
		if v.Now == "" || row.kind != Size {
			v.Now = bare(row.kind, t.value)
		}
	}
	switch row.kind {
	case Length, Size:
		v.Unit = "mm"
	case Share:
		v.Unit = "%"
	}
	for _, fault := range f.r.Faults {
		if fault.Key == row.key || strings.HasPrefix(fault.Key, row.key+".") || strings.HasPrefix(fault.Key, row.key+"[") {
			v.Fault, v.Hint, v.Ways = fault.Text, fault.Hint, fault.Ways
		}
	}
	return v
}

// bare writes a house's value without the unit that the page shows beside it.
func bare(kind Kind, value string) string {
	switch kind {
	case Length, Size:
		return strings.TrimSpace(strings.TrimSuffix(value, "mm"))
	case Share:
		return strings.TrimSpace(strings.TrimSuffix(value, "%"))
	}
	return value
}

// deciding returns the few values that decide.
func (f filler) deciding(text []byte) []Value {
	var web, gap, bleed, turn, lanes, rows, frame string
	var webs, dies []string
	j := f.r.job
	if j != nil {
		web, bleed = j.WebWidth.Digits(), j.Bleed.Digits()
		gap = j.Gap.Across.Digits() + "x" + j.Gap.Around.Digits()
		if r := j.Request().Repeat; r.Max > 0 {
			frame = r.Max.Digits()
		}
		if j.Press != nil {
			for _, w := range j.Press.Webs {
				webs = append(webs, w.Digits()+"mm")
			}
		}
		if j.Dies != nil {
			for _, d := range j.Dies.Dies {
				dies = append(dies, d.Number)
			}
		}
	}
	if s := f.r.Summary; s != nil {
		turn, lanes, rows = strconv.Itoa(s.Layout.TurnDeg), strconv.Itoa(s.Layout.Across), strconv.Itoa(s.Layout.Around)
		if s.Layout.LanesDiffer {
			lanes = ""
		}
	}
	list := []Value{
		f.value(row{"web", "Web", Length, "1", webs}, web),
		f.value(row{"die", "Die", Choice, "", dies}, ""),
		f.value(row{"frame-max", "Longest frame", Length, "5", nil}, frame),
	}
	switch {
	case f.given("repeat"):
		list[2] = f.value(row{"repeat", "Fixed repeat", Length, "1", nil}, "")
	case f.given("teeth"):
		list[2] = f.value(row{"teeth", "Cylinder teeth", Count, "1", nil}, "")
	case f.said["die"] != "":
		list = list[:2]
	}
	list = append(list,
		f.value(row{"turn", "Turn", Choice, "", []string{"auto", "0", "90", "180", "270"}}, turn),
		f.value(row{"winding", "Winding", Choice, "", windings}, ""),
		f.value(row{"gap", "Gaps", Size, "0.1", nil}, gap),
		f.value(row{"bleed", "Bleed", Length, "0.1", nil}, bleed),
		f.value(row{"lanes", "Lanes", Count, "1", nil}, lanes),
		f.value(row{"rows", "Rows", Count, "1", nil}, rows))
	list = append(list, f.artworks(text)...)
	for i := range f.r.Faults {
		f.r.Faults[i].Placed = slices.ContainsFunc(list, func(v Value) bool { return v.Fault != "" && v.Fault == f.r.Faults[i].Text })
	}
	return list
}

// artworks returns what is ordered of each artwork and where it stands.
func (f filler) artworks(text []byte) (list []Value) {
	n := edit.Len(text, "artworks")
	for i := range n {
		key := "artworks[" + strconv.Itoa(i) + "]"
		name := cmp.Or(f.said[key+".product"], f.said[key+".file"])
		if n == 1 {
			name = "Quantity"
		}
		list = append(list, f.value(row{key + ".quantity", name, Count, "1000", nil}, ""))
		if n > 1 {
			lanes := ""
			if i < len(f.r.Products) {
				lanes = strconv.Itoa(len(f.r.Products[i].Lanes))
			}
			list = append(list, f.value(row{key + ".lanes", "its lanes", Count, "1", nil}, lanes))
		}
	}
	return list
}

// Expand returns the edits that one change of a value stands for: rules for the
// frame's length take each other's place, a cylinder needs its gear, and a die
// has lanes, rows and repeat of its own.
func Expand(text []byte, j *job.Job, e edit.Edit) []edit.Edit {
	said := edit.Values(text)
	list := []edit.Edit{}
	away := func(keys ...string) {
		for _, k := range keys {
			if said[k] != "" {
				list = append(list, edit.Edit{Key: k})
			}
		}
	}
	switch {
	case e.Value == "" && e.Key == "teeth":
		away("pitch")
	case e.Value == "":
	case e.Key == "die":
		away("lanes", "rows", "shift", "frame-max", "repeat", "teeth", "pitch")
	case e.Key == "frame-max":
		away("repeat", "teeth", "pitch")
	case e.Key == "repeat":
		away("frame-max", "teeth", "pitch")
	case e.Key == "teeth":
		away("frame-max", "repeat")
		if said["pitch"] == "" {
			list = append(list, edit.Edit{Key: "pitch", Value: pitchOf(j)})
		}
	}
	return append(list, e)
}

// pitchOf returns the gear that the press has cylinders for, or else the common one
// of 1/8 inch.
func pitchOf(j *job.Job) string {
	if j != nil && j.Press != nil {
		for _, c := range j.Press.Finishing.Cylinders {
			return c.Gear.String()
		}
	}
	return "1/8in CP" // the common one: FTA, Flexography: Principles and Practices, vol. 1, p. 85
}

// Check reads a value as it was typed and gives it as the file would say it:
// bare numbers get the unit that the page shows beside them.
func Check(v Value, typed string) (string, error) {
	typed = strings.TrimSpace(typed)
	if typed == "" || typed == "auto" && v.Key == "turn" {
		return "", nil
	}
	number := func(s string) bool {
		_, err := strconv.ParseFloat(s, 64)
		return err == nil
	}
	switch v.Kind {
	case Length:
		typed = strings.ReplaceAll(typed, " ", "")
		if number(typed) {
			typed += "mm"
		}
	case Share:
		typed = strings.ReplaceAll(typed, " ", "")
		if number(typed) {
			typed += "%"
		}
	case Size:
		typed = strings.NewReplacer(" ", "", "×", "x").Replace(typed)
		if a, b, ok := strings.Cut(strings.TrimSuffix(typed, "mm"), "x"); ok && number(a) && number(b) {
			typed = a + "x" + b + "mm"
		}
	case Count:
		typed = strings.NewReplacer(" ", "", ",", "").Replace(typed)
		if _, err := strconv.ParseInt(typed, 10, 64); err != nil && !strings.HasPrefix(typed, "[") {
			return "", say.Refuse(say.Usage, "write a whole number", "%s: %q is no count", v.Label, say.Clip(typed, 60))
		}
		return typed, nil
	case Switch:
		if typed != "true" && typed != "false" {
			return "", say.Refuse(say.Usage, "write true or false", "%s: %q is no switch", v.Label, say.Clip(typed, 60))
		}
		return typed, nil
	}
	if len(typed) > 500 {
		return "", fmt.Errorf("%s: the text is too long", v.Label)
	}
	return edit.Text(typed), nil
}

// Find returns a value by its key; false where the page has no such value.
func (r *Result) Find(key string) (Value, bool) {
	for _, g := range r.Values {
		for _, v := range g.Values {
			if v.Key == key {
				return v, true
			}
		}
	}
	return Value{}, false
}
