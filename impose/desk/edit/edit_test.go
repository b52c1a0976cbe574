package edit

import (
	"os"
	"strings"
	"testing"
)

var order = []string{"name", "press", "web", "edge", "label", "gap", "bleed", "turn", "frame-max", "repeat", "die", "lanes", "artworks", "marks", "overs", "roll"}

func TestApply(t *testing.T) {
	for _, c := range []struct {
		name, from string
		edits      []Edit
		want       string
	}{
		{"a value, and the comment behind it stays", "gap: 3x3mm   # least\nbleed: 1mm\n", []Edit{{"gap", "4x3mm"}}, "gap: 4x3mm   # least\nbleed: 1mm\n"},
		{"in quotes", `name: "Jam: \"red\"" # x` + "\n", []Edit{{"name", "Jam"}}, "name: Jam # x\n"},
		{"in single quotes", "name: 'It''s' # x\n", []Edit{{"name", "Jam"}}, "name: Jam # x\n"},
		{"a nested value", "roll:\n  labels: 1 # a\n  core: 76mm # b\n", []Edit{{"roll.core", "40mm"}}, "roll:\n  labels: 1 # a\n  core: 40mm # b\n"},
		{"in braces", "targets: {patch: 5x5mm, along: true} # c\n", []Edit{{"targets.patch", "4x4mm"}}, "targets: {patch: 4x4mm, along: true} # c\n"},
		{"new in braces", "targets: {patch: 5x5mm}\n", []Edit{{"targets.along", "true"}}, "targets: {patch: 5x5mm, along: true}\n"},
		{"a switch becomes braces", "targets: true # on\n", []Edit{{"targets.patch", "4x4mm"}}, "targets: {patch: 4x4mm} # on\n"},
		{"a list", "artworks:\n  - file: a.pdf\n    lanes: [1,\n      2] # two\n", []Edit{{"artworks[0].lanes", "[3]"}}, "artworks:\n  - file: a.pdf\n    lanes: [3] # two\n"},
		{"a block list becomes one line", "turn:\n  - 0\n  - 90\ngap: 1mm\n", []Edit{{"turn", "90"}}, "turn: 90\ngap: 1mm\n"},
		{"a new key in its order", "# head\nname: a\n\n# the label\nlabel: 1x1mm # l\n# about bleed\nbleed: 1mm\n", []Edit{{"gap", "2x2mm"}}, "# head\nname: a\n\n# the label\nlabel: 1x1mm # l\ngap: 2x2mm\n# about bleed\nbleed: 1mm\n"},
		{"before all others", "# head\nbleed: 1mm\n", []Edit{{"name", "x"}}, "# head\nname: x\nbleed: 1mm\n"},
		{"behind a block", "artworks:\n  - file: a.pdf # one\n  - file: b.pdf\n    quantity: 5\n\n# about overs\novers: 2%\n", []Edit{{"marks.trim", "true"}}, "artworks:\n  - file: a.pdf # one\n  - file: b.pdf\n    quantity: 5\nmarks:\n  trim: true\n\n# about overs\novers: 2%\n"},
		{"into an item", "artworks:\n- file: a.pdf # one\n- file: b.pdf\novers: 2%\n", []Edit{{"artworks[0].quantity", "7"}}, "artworks:\n- file: a.pdf # one\n  quantity: 7\n- file: b.pdf\novers: 2%\n"},
		{"away", "name: a\nlanes: 3 # three\nweb: 1mm\n", []Edit{{"lanes", ""}}, "name: a\nweb: 1mm\n"},
		{"away with what holds it", "name: a\nroll:\n  core: 1mm\nweb: 1mm\n", []Edit{{"roll.core", ""}}, "name: a\nweb: 1mm\n"},
		{"out of braces", "m: {a: 1, b: 2, c: 3}\n", []Edit{{"m.c", ""}, {"m.a", ""}}, "m: {b: 2}\n"},
		{"an item", "artworks:\n  - file: a.pdf\n    quantity: 1\n  - file: b.pdf\nweb: 1mm\n", []Edit{{"artworks[0]", ""}}, "artworks:\n  - file: b.pdf\nweb: 1mm\n"},
		{"an empty value", "die:\nweb: 1mm\n", []Edit{{"die", "0101"}}, "die: 0101\nweb: 1mm\n"},
		{"an empty file", "# nothing yet\n", []Edit{{"web", "1mm"}}, "# nothing yet\nweb: 1mm\n"},
		{"no line end", "web: 1mm", []Edit{{"lanes", "2"}, {"web", "2mm"}}, "web: 2mm\nlanes: 2\n"},
		{"Windows line ends", "web: 1mm # w\r\nbleed: 1mm\r\n", []Edit{{"web", "2mm"}}, "web: 2mm # w\r\nbleed: 1mm\r\n"},
		{"beyond ASCII", "name: Größe # größer\nweb: {a: ä, b: 2mm}\n", []Edit{{"web.b", "3mm"}}, "name: Größe # größer\nweb: {a: ä, b: 3mm}\n"},
		{"what nobody knows stays", "x-house: {a: [1, 2]}\nweb: 1mm\ny: |\n  text\n  # no comment\nlanes: 1\n", []Edit{{"web", "2mm"}, {"lanes", "4"}}, "x-house: {a: [1, 2]}\nweb: 2mm\ny: |\n  text\n  # no comment\nlanes: 4\n"},
	} {
		got, err := Apply([]byte(c.from), order, c.edits...)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		} else if string(got) != c.want {
			t.Errorf("%s:\n%s\nwant:\n%s", c.name, got, c.want)
		}
	}
}

func TestApplyRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		from string
		edit Edit
	}{
		"an anchor":           {"gap: &g 3mm\nbleed: *g\n", Edit{"gap", "4mm"}},
		"an alias":            {"gap: &g 3mm\nbleed: *g\n", Edit{"bleed", "4mm"}},
		"a value that breaks": {"gap: 3mm\n", Edit{"gap", "4mm\nweb: 1mm"}},
		"a comment smuggled":  {"m: {gap: 3mm, web: 2mm}\n", Edit{"m.gap", "4mm} # "}},
		"a key smuggled":      {"m: {gap: 3mm}\n", Edit{"m.gap", "4mm, web: 1mm"}},
		"no such item":        {"artworks: []\n", Edit{"artworks[0].file", "a"}},
		"no YAML":             {"a: [\n", Edit{"a", "1"}},
		"no key":              {"a: 1\n", Edit{"a[x]", "1"}},
	} {
		if got, err := Apply([]byte(c.from), order, c.edit); err == nil {
			t.Errorf("%s: was done: %q", name, got)
		}
	}
}

func TestAppend(t *testing.T) {
	item := []Edit{{"file", "c.pdf"}, {"quantity", "9"}}
	for from, want := range map[string]string{
		"artworks:\n  - file: a.pdf # one\n    quantity: 1\n\novers: 2%\n": "artworks:\n  - file: a.pdf # one\n    quantity: 1\n  - file: c.pdf\n    quantity: 9\n\novers: 2%\n",
		"artworks: [{file: a.pdf}]\n":                                      "artworks: [{file: a.pdf}, {file: c.pdf, quantity: 9}]\n",
		"web: 1mm\novers: 2%\n":                                            "web: 1mm\nartworks:\n  - file: c.pdf\n    quantity: 9\novers: 2%\n",
		"":                                                                 "artworks:\n  - file: c.pdf\n    quantity: 9\n",
	} {
		got, err := Append([]byte(from), order, "artworks", item)
		if err != nil || string(got) != want {
			t.Errorf("%q gives\n%s(%v), want\n%s", from, got, err, want)
		}
	}
}

// TestTheSampleKeepsEveryComment changes every value of the sample job that the
// page offers, one after another, and looks for each comment and each other line.
func TestTheSampleKeepsEveryComment(t *testing.T) {
	text, err := os.ReadFile("../../../samples/job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	now := text
	for _, e := range []Edit{{"web", "330mm"}, {"gap", "4x4mm"}, {"bleed", "1mm"}, {"artworks[1].quantity", "12000"}, {"marks.register.size", "4mm"},
		{"targets.along", "false"}, {"material.kind", "paper"}, {"roll.core", "40mm"}, {"turn", "90"}, {"die", "0101"}, {"lanes", "5"}, {"winding", Text("face in, top leads")}} {
		if now, err = Apply(now, order, e); err != nil {
			t.Fatalf("%s: %v", e.Key, err)
		}
		if got, ok, err := Get(now, e.Key); err != nil || !ok || got != e.Value && Text(got) != e.Value {
			t.Errorf("%s is %q after it was made %q (%v)", e.Key, got, e.Value, err)
		}
	}
	was, is := strings.Split(string(text), "\n"), string(now)
	for _, line := range was {
		if _, comment, ok := strings.Cut(line, "# "); ok && !strings.Contains(is, "# "+comment) {
			t.Errorf("the comment is gone: %s", comment)
		}
	}
	if extra := strings.Count(is, "\n") - len(was) + 1; extra != 3 { // turn, die, lanes
		t.Errorf("%d lines more, want 3", extra)
	}
}

func FuzzApply(f *testing.F) {
	f.Add("gap: 3mm # a\nroll: {core: 1mm}\n", "roll.core", "2mm")
	f.Add("artworks:\n- file: a\n  n: |\n   x\n", "artworks[0].n", "b")
	f.Fuzz(func(t *testing.T, text, key, value string) {
		now, err := Apply([]byte(text), order, Edit{key, value})
		if err != nil {
			return
		}
		if err := onlyChanged(text, string(now), key); err != nil {
			t.Fatalf("%q, %s=%s: %v", text, key, value, err)
		}
	})
}

func TestAppendToANestedList(t *testing.T) {
	item := []Edit{{"material", "foil"}, {"warn", "4mm"}}
	for _, c := range []struct{ from, want string }{
		{"a: 1\nfinishing:\n  stripping:\n    - {material: paper, warn: 2mm}   # thin\n\nz: 1\n", "a: 1\nfinishing:\n  stripping:\n    - {material: paper, warn: 2mm}   # thin\n    - {material: foil, warn: 4mm}\n\nz: 1\n"},
		{"finishing:\n  stripping:\n    - material: paper\n      warn: 2mm\nz: 1\n", "finishing:\n  stripping:\n    - material: paper\n      warn: 2mm\n    - material: foil\n      warn: 4mm\nz: 1\n"},
		{"finishing: {stripping: [{material: paper}]}\n", "finishing: {stripping: [{material: paper}, {material: foil, warn: 4mm}]}\n"},
		{"finishing:\n  speed: 1\nz: 1\n", "finishing:\n  speed: 1\n  stripping: [{material: foil, warn: 4mm}]\nz: 1\n"},
	} {
		got, err := Append([]byte(c.from), nil, "finishing.stripping", item)
		if err != nil || string(got) != c.want {
			t.Errorf("from\n%s\ngot\n%s\n%v", c.from, got, err)
		}
	}
}
