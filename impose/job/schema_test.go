package job

import (
	"embed"
	"encoding/json"
	"io/fs"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v4"

	"quoin/geometry"
)

// schemas are compiled once.
var schemas = sync.OnceValue(func() map[string]*jsonschema.Schema {
	compiler := jsonschema.NewCompiler()
	out := map[string]*jsonschema.Schema{}
	names := []string{"common", "job", "house", "press", "dies", "orders"}
	for _, name := range names {
		if err := compiler.AddResource("file:///"+name+".schema.json", schemaDocument(name)); err != nil {
			panic(err)
		}
	}
	for _, name := range names {
		out[name] = compiler.MustCompile("file:///" + name + ".schema.json")
	}
	return out
})

//go:embed schema
var schemaFiles embed.FS

func schemaDocument(name string) any {
	f, err := schemaFiles.Open("schema/" + name + ".schema.json")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	doc, err := jsonschema.UnmarshalJSON(f)
	if err != nil {
		panic(err)
	}
	return doc
}

// plain turns a YAML node into what a JSON parser would give for it.
func plain(n *yaml.Node) any {
	switch n.Kind {
	case yaml.DocumentNode:
		return plain(n.Content[0])
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			m[n.Content[i].Value] = plain(n.Content[i+1])
		}
		return m
	case yaml.SequenceNode:
		l := make([]any, len(n.Content))
		for i, item := range n.Content {
			l[i] = plain(item)
		}
		return l
	}
	switch n.ShortTag() {
	case "!!null":
		return nil
	case "!!bool":
		return strings.EqualFold(n.Value, "true")
	case "!!int":
		if _, err := strconv.ParseInt(n.Value, 10, 64); err == nil {
			return json.Number(n.Value)
		}
	case "!!float":
		if v, err := strconv.ParseFloat(n.Value, 64); err == nil && !math.IsInf(v, 0) && !math.IsNaN(v) {
			return json.Number(strconv.FormatFloat(v, 'f', -1, 64))
		}
	}
	return n.Value
}

// bySchema tells what the schema says of a YAML file.
func bySchema(t *testing.T, name string, data []byte) error {
	t.Helper()
	var node yaml.Node
	if err := yaml.Load(data, &node); err != nil {
		t.Fatal(err)
	}
	return schemas()[name].Validate(plain(&node))
}

// byReader tells what the reader says.
func byReader(name string, data []byte) (err error) {
	open := func(path string, _ int64) ([]byte, error) {
		if path == "dies.yaml" {
			return []byte("dies: []"), nil
		}
		return []byte(smallPress), nil
	}
	switch name {
	case "job":
		_, err = Houses(nil).ParseJob("job.yaml", data, open)
	case "house":
		_, err = ParseHouseBy("house.yaml", data, open)
	case "press":
		_, err = ParsePress("press.yaml", data)
	case "dies":
		_, err = ParseDies("dies.yaml", data)
	case "orders":
		_, err = ParseOrders("orders.yaml", data)
	}
	return err
}

func TestSchemasTakeTheSamples(t *testing.T) {
	for file, schema := range map[string]string{"job": "job", "numbered": "job", "house/house": "house", "press": "press", "dies": "dies"} {
		data, err := os.ReadFile(samples + file + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		if err := bySchema(t, schema, data); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
}

// oneDie and oneOrder are records to which a test adds a line.
const (
	oneDie   = "dies:\n- number: 1\n  size: 50x75mm\n  lanes: 6\n  rows: 4\n  gap: 3x4.375mm\n  station: full-rotary\n"
	geared   = oneDie + "  teeth: 100\n  pitch: 1/8in\n"
	oneOrder = "orders:\n- order: 1\n  quantity: 1000\n"
)

func TestReaderAndSchemaAgree(t *testing.T) {
	for _, c := range []struct{ name, good, bad string }{
		{"job", "{}", "[]"},
		{"job", fullJob, "nonsense: 1"},
		{"job", "name: 2026-01-01", "name: [a]"},
		{"job", "name: true", "name: ' '"},
		{"job", "press: press.yaml", "press: {name: x}"},
		{"job", "web: 1 1/8in", "web: 340"},
		{"job", "web: ' 340 mm '", "web: -340mm"},
		{"job", "web: +.5m", "web: 1e3mm"},
		{"job", "edge: 0mm", "edge: -0mm"},
		{"job", "label: 2x3 1/2in", "label: 50mm"},
		{"job", "label: 2in × 3in", "label: 50x75"},
		{"job", "material: {caliper: 2.6 mil}", "material: {caliper: 2.6 miles}"},
		{"job", "shift: -1/2in", "shift: -1/2"},
		{"job", "turn: 90", "turn: 45"},
		{"job", "turn: [0, '180']", "turn: [auto]"},
		{"job", "turn: auto", "turn: true"},
		{"job", "frame-max: 980mm", "{frame-max: 980mm, repeat: 300mm}"},
		{"job", "{teeth: 77, pitch: 32 DP}", "{teeth: 77}"},
		{"job", "{teeth: 100, pitch: module 1}", "{pitch: module 1}"},
		{"job", "{repeat: 300mm}", "{repeat: 300mm, teeth: 77, pitch: 32 DP}"},
		{"job", "lanes: 6", "lanes: 0"},
		{"job", "rows: 12", "rows: '12'"},
		{"job", "second-surface: true", "second-surface: yes"},
		{"job", "artworks: [{file: a.pdf}]", "artworks: [{page: 1}]"},
		{"job", "artworks: []", "artworks: {}"},
		{"job", "artworks: [{file: a, lanes: [1]}]", "artworks: [{file: a, lanes: [0]}]"},
		{"job", "artworks: [{file: a, quantity: 1}]", "artworks: [{file: a, quantity: 1.5}]"},
		{"job", "marks: {register: true, eye: {}}", "marks: {register: on, eye: {}}"},
		{"job", "marks: {eye: {side: right}}", "marks: {eye: {side: both}}"},
		{"job", "targets: false", "targets: {tints: 50%}"},
		{"job", "targets: {tints: []}", "targets: {patch: 5mm}"},
		{"job", "inks: {white: W, aliases: {1: 2}}", "inks: {white: {a: b}}"},
		{"job", "inks: {underprint: {hits: 2}}", "inks: {underprint: {hits: 0}}"},
		{"job", "output-intent: {conflict: warn}", "output-intent: {conflict: maybe}"},
		{"job", "setup-time: 90 s", "setup-time: 90"},
		{"job", "run-waste: 2.5 %", "run-waste: 2.5"},
		{"job", "overs: 1/2%", "overs: -1%"},
		{"job", "speed: 2 m / s", "speed: 120m/h"},
		{"job", "winding: top-first 3", "winding: 3"},
		{"job", "flexo: {for: varnish, plate: 1.14mm}", "flexo: {for: varnish}"},
		{"job", "roll: {labels: 2500}", "roll: {labels: 2.5k}"},
		{"job", "data: {file: codes.csv, order: across, device-dpi: 1200dpi}", "data: {file: codes.csv, order: down}"},
		{"job", "data: {count: 5, counters: [{name: n, step: -2, digits: 7}]}", "data: {count: 5, counters: [{start: 1}]}"},
		{"job", "data: {check-digits: [{column: g, scheme: gs1, add: true}]}", "data: {check-digits: [{column: g, scheme: mod 7}]}"},
		{"job", "fields: [{value: '{n}', at: 0x2mm, cap: 2mm, least-width: 80%}]", "fields: [{value: '{n}', at: 5mm}]"},
		{"job", "fields: [{value: 7, at: 5x2mm, symbol: qr, level: Q, turn: 90}]", "fields: [{value: 7, at: 5x2mm, symbol: QR}]"},
		{"job", "fields: [{gs1: {'01': '{g}', 21: '{n}'}, link: 'https://example.com', at: 5x2mm, symbol: qr}]", "fields: [{gs1: {'01': '{g}'}, value: 7, at: 5x2mm}]"},
		{"job", "data: {unique: [gtin, n], device-dpi: 1600x800dpi, bar-width-reductions: [{ink: Black, dots: 1}], change-over: {labels: 2, fields: [{value: \"{roll}\", at: 1x1mm, cap: 2mm, width: 9mm}]}}", "data: {bar-width-reductions: [{ink: Black}]}"},
		{"job", "data: {unique: none}", "data: {unique: []}"},
		{"press", smallPress + "resolution: {device: 1600x800dpi}", smallPress + "resolution: {device: 1600x800}"},
		{"press", smallPress, "name: x"},
		{"press", fullPress, smallPress + "stations: 6"},
		{"press", smallPress + "consumables: []", strings.Replace(smallPress, "[{inks: 6, speed: 120m/min}, {inks: 12, speed: 60m/min}]", "[]", 1)},
		{"press", smallPress + "prices: {currency: EUR, setup: '40'}", smallPress + "prices: {currency: EUR, setup: 40 EUR}"},
		{"press", smallPress + "unwinder: {saves: 10 min/h}", smallPress + "unwinder: {saves: 10min}"},
		{"press", smallPress + "resolution: {device: 1600dpi}", smallPress + "resolution: {device: 1600}"},
		{"dies", geared, oneDie},
		{"dies", oneDie + "  repeat: 317.5mm", geared + "  repeat: 317.5mm"},
		{"dies", geared + "  materials: [paper, film]", geared + "  condition: blunt"},
		{"dies", "dies: []", "{}"},
		{"dies", "dies: [{number: 1, size: 50x75mm, station: laser}]", "dies: [{number: 1, size: 50x75mm, station: flat-bed}]"},
		{"dies", strings.Replace(oneDie, "full-rotary", "flat-bed", 1), strings.Replace(oneDie, "full-rotary", "flat", 1)},
		{"dies", geared + "  shape: outline\n  outline: a.dxf", geared + "  shape: outline"},
		{"dies", geared + "  shape: ellipse", geared + "  outline: a.dxf"},
		{"press", smallPress + "finishing: {cylinders: [{pitch: 1/8in, teeth: 60}]}", smallPress + "finishing: {cylinders: [{pitch: 1/8in, teeth: []}, {}]}"},
		{"orders", oneOrder, oneOrder + "  label: 50"},
		{"orders", oneOrder + "  die: 0101\n  flags: alone", oneOrder + "  die: 0101\n  flags: [drug label]"},
		{"house", "web: 340mm\nmarks: {slit: true}", "web: 340"},
		{"house", "press: p.yaml", "label: 50x75mm"},
		{"house", "frame-max: 980mm", "frame-max: 980mm\nrepeat: 300mm"},
		{"house", "teeth: 96\npitch: 1/8in", "teeth: 96"},
		{"house", "inks: {silence: [Red]}", "artworks: [{file: a.pdf}]"},
		{"orders", oneOrder + "  artwork: a.pdf\n  due: 2026-03-31", oneOrder + "  artwork: a.pdf\n  due: 31.3.2026"},
		{"orders", fullOrder, "orders:\n- quantity: 1"},
	} {
		if err := byReader(c.name, []byte(c.good)); err != nil {
			t.Errorf("the reader refuses the good %s %q: %v", c.name, c.good, err)
		}
		if byReader(c.name, []byte(c.bad)) == nil {
			t.Errorf("the reader takes the bad %s %q", c.name, c.bad)
		}
		if err := bySchema(t, c.name, []byte(c.good)); err != nil {
			t.Errorf("the schema refuses the good %s %q: %v", c.name, c.good, err)
		}
		// What is said twice never reaches a schema.
		if twice := strings.Count(c.bad, "stations:") > 1; !twice && bySchema(t, c.name, []byte(c.bad)) == nil {
			t.Errorf("the schema takes the bad %s %q", c.name, c.bad)
		}
	}
}

// Every table of keys stands in a schema under the same keys, those needed
// included, and every object of the schemas belongs to a table.
func TestKeysOfReaderAndSchemaAreEqual(t *testing.T) {
	want := map[string][]string{
		"job":                                keysOf(jobKeys),
		"job/artworks/[]":                    keysOf(artworkKeys),
		"job/data":                           keysOf(dataKeys),
		"job/data/check-digits/[]":           keysOf(digitKeys),
		"job/data/counters/[]":               keysOf(counterKeys),
		"job/data/random-codes/[]":           keysOf(randomKeys),
		"job/data/bar-width-reductions/[]":   keysOf(reductionKeys),
		"job/data/change-over":               keysOf(changeOverKeys),
		"job/fields/[]":                      keysOf(fieldKeys),
		"required: job/data/check-digits/[]": needed(digitKeys),
		"required: job/data/counters/[]":     needed(counterKeys),
		"required: job/data/random-codes/[]": needed(randomKeys),

		"required: job/data/bar-width-reductions/[]": needed(reductionKeys),
		"required: job/fields/[]":                    needed(fieldKeys),
		"job/flexo":                                  keysOf(flexoKeys),
		"required: job/flexo":                        needed(flexoKeys),
		"job/inks":                                   keysOf(inkKeys),
		"job/inks/underprint":                        keysOf(underprintKeys),
		"job/marks":                                  keysOf(markKeys),
		"job/marks/eye":                              keysOf(eyeKeys),
		"job/marks/register":                         keysOf(registerKeys),
		"job/orders":                                 keysOf(orderFormKeys),
		"job/orders/columns":                         keysOf(orderKeys),
		"job/material":                               keysOf(materialKeys),
		"job/output-intent":                          keysOf(outputKeys),
		"job/roll":                                   keysOf(rollKeys),
		"job/targets":                                keysOf(targetKeys),
		"house":                                      keysOf(houseKeys()),
		"press":                                      keysOf(pressKeys),
		"press/changes":                              keysOf(changeKeys),
		"press/consumables/[]":                       keysOf(consumableKeys),
		"press/in-stock/[]":                          keysOf(lotKeys),
		"press/prices/materials/[]":                  keysOf(materialPriceKeys),
		"press/shifts/[]":                            keysOf(shiftKeys),
		"press/finishing":                            keysOf(finishingKeys),
		"press/finishing/cylinders/[]":               keysOf(cylinderKeys),
		"press/finishing/stations/[]":                keysOf(stationKeys),
		"press/finishing/stripping/[]":               keysOf(strippingKeys),
		"press/prices":                               keysOf(priceKeys),
		"press/resolution":                           keysOf(resolutionKeys),
		"press/speeds/[]":                            keysOf(speedKeys),
		"press/stock":                                keysOf(stockKeys),
		"press/unwinder":                             keysOf(unwinderKeys),
		"dies":                                       {"dies"},
		"dies/dies/[]":                               keysOf(dieKeys),
		"orders":                                     {"orders"},
		"orders/orders/[]":                           keysOf(orderKeys),
		"required: job/artworks/[]":                  needed(artworkKeys),
		"required: press":                            needed(pressKeys),
		"required: press/consumables/[]":             needed(consumableKeys),
		"required: press/in-stock/[]":                needed(lotKeys),
		"required: press/prices/materials/[]":        needed(materialPriceKeys),
		"required: press/shifts/[]":                  needed(shiftKeys),
		"required: press/finishing/cylinders/[]":     needed(cylinderKeys),
		"required: press/finishing/stations/[]":      needed(stationKeys),
		"required: press/finishing/stripping/[]":     needed(strippingKeys),
		"required: press/prices":                     needed(priceKeys),
		"required: press/resolution":                 needed(resolutionKeys),
		"required: press/speeds/[]":                  needed(speedKeys),
		"required: press/stock":                      needed(stockKeys),
		"required: dies":                             {"dies"},
		"required: dies/dies/[]":                     needed(dieKeys),
		"required: orders":                           {"orders"},
		"required: orders/orders/[]":                 needed(orderKeys),
	}
	for _, keys := range want {
		slices.Sort(keys)
	}
	got := map[string][]string{}
	for _, name := range []string{"job", "house", "press", "dies", "orders"} {
		objects(name, schemaDocument(name), got)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func needed[T any](table []field[T]) []string {
	var keys []string
	for _, f := range table {
		if f.need {
			keys = append(keys, f.key)
		}
	}
	return keys
}

// objects lists the keys of every object in a schema that has any.
func objects(path string, schema any, out map[string][]string) {
	s, ok := schema.(map[string]any)
	if !ok {
		return
	}
	if properties, ok := s["properties"].(map[string]any); ok {
		out[path] = slices.Sorted(maps.Keys(properties))
		for key, inner := range properties {
			objects(path+"/"+key, inner, out)
		}
		if required, ok := s["required"].([]any); ok {
			for _, key := range required {
				out["required: "+path] = append(out["required: "+path], key.(string))
			}
			slices.Sort(out["required: "+path])
		}
	}
	objects(path+"/[]", s["items"], out)
	if choices, ok := s["anyOf"].([]any); ok {
		for _, choice := range choices {
			objects(path, choice, out)
		}
	}
}

// Defaults that the schemas state are those of the code.
func TestSchemaDefaults(t *testing.T) {
	var file strings.Builder
	defaults(&file, schemaDocument("job"), "")
	got := mustParse(t, file.String())
	want, none := New(), geometry.Share(0)
	want.Dir, want.Run.Overs = ".", &none
	if diff := cmp.Diff(want, got, noSources); diff != "" {
		t.Errorf("%s\n%s", diff, file.String())
	}
}

// What true stands for where false is the default.
func TestSchemaDefaultsOfSwitches(t *testing.T) {
	for path, want := range map[string]func(*Job) any{
		"marks/eye":       func(j *Job) any { eye := DefaultEyeMark(); j.Marks.Eye = &eye; return j.Marks },
		"inks/underprint": func(j *Job) any { u := DefaultUnderprint(); j.Inks.Underprint = &u; return j.Inks },
	} {
		outer, inner, _ := strings.Cut(path, "/")
		at := schemaDocument("job")
		for _, key := range []string{outer, inner} {
			at = at.(map[string]any)["properties"].(map[string]any)[key]
		}
		var file strings.Builder
		file.WriteString(outer + ":\n  " + inner + ":\n")
		defaults(&file, at.(map[string]any)["anyOf"].([]any)[1], "    ")
		j := mustParse(t, file.String())
		got := map[string]any{"marks": j.Marks, "inks": j.Inks}[outer]
		if diff := cmp.Diff(want(New()), got); diff != "" {
			t.Errorf("%s\n%s", diff, file.String())
		}
	}
}

// defaults writes a file that says the defaults of a schema.
func defaults(b *strings.Builder, schema any, indent string) {
	properties := schema.(map[string]any)["properties"].(map[string]any)
	for _, key := range slices.Sorted(maps.Keys(properties)) {
		s := properties[key].(map[string]any)
		switch value := s["default"].(type) {
		case nil:
			if _, ok := s["properties"]; ok && (key == "marks" || key == "output-intent") {
				b.WriteString(indent + key + ":\n")
				defaults(b, s, indent+"  ")
			}
		case bool:
			object := s["anyOf"]
			if object == nil || !value {
				b.WriteString(indent + key + ": " + strconv.FormatBool(value) + "\n")
				continue
			}
			b.WriteString(indent + key + ":\n")
			defaults(b, object.([]any)[1], indent+"  ")
		default:
			text, _ := json.Marshal(value)
			b.WriteString(indent + key + ": " + string(text) + "\n")
		}
	}
}

func TestSchemasAreValid(t *testing.T) {
	names, err := fs.Glob(schemaFiles, "schema/*.schema.json")
	if err != nil || len(names) != len(schemas()) {
		t.Errorf("%d schemas are published, %d are tested", len(names), len(schemas()))
	}
}
