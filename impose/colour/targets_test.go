package colour_test

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"quoin/impose/colour"
	"quoin/impose/colour/cgats"
	"quoin/impose/colour/cielab"
	"quoin/impose/witness"
)

// The list of targets reads back with every patch at its place, and Argyll reads
// it too: measured as aimed at, nothing differs.
func TestTargetListReadsBack(t *testing.T) {
	p, r := demoProfile(t), frameOf(t, 100)
	aims := aimsOf(t, p)
	var b bytes.Buffer
	if err := r.WriteTargets(&b, aims, colour.Repeats{}); err != nil {
		t.Fatal(err)
	}
	tables, err := cgats.Parse("targets.txt", bytes.NewReader(b.Bytes()))
	if err != nil || len(tables) != 2 {
		t.Fatalf("%d tables, %v", len(tables), err)
	}
	if n := len(tables[0].Rows) + len(tables[1].Rows); n != len(r.Targets) {
		t.Errorf("%d rows for %d patches", n, len(r.Targets))
	}
	samples, err := tables[0].Samples()
	if err != nil {
		t.Fatal(err)
	}
	// An instrument that drives to each place and reads the aim matches all.
	all := &colour.Readings{}
	for _, s := range samples {
		s.ID, s.Name = "", ""
		q := at(r, *s.Place)
		if q == nil {
			t.Fatalf("no patch at %v", *s.Place)
		}
		all.List = append(all.List, colour.Reading{Patch: q, Lab: s.Lab})
	}
	for _, c := range colour.Judge(r, all, aims).Strip {
		if c.DE00 == nil || *c.DE00 > 0.05 { // two decimals
			t.Errorf("%s: %+v", c.Patch, c.DE00)
		}
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "targets.ti3")
	// Argyll compares one table.
	first, _, _ := strings.Cut(b.String(), "END_DATA\n")
	if err := os.WriteFile(path, []byte(first+"END_DATA\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if said := witness.Colverify(t, path, path); !strings.Contains(said, "peak = 0.000000") {
		t.Errorf("%s", said)
	}

	b.Reset()
	if err := r.WriteTargetsCSV(&b, aims, colour.Repeats{}); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != len(r.Targets)+1 {
		t.Errorf("%d rows, %v", len(rows), err)
	}
}

func at(r *colour.PressRun, place [2]float64) *colour.Patch {
	for i := range r.Targets {
		b := r.Targets[i].Box
		if place[0] > b[0] && place[0] < b[2] && place[1] > b[1] && place[1] < b[3] {
			return &r.Targets[i]
		}
	}
	return nil
}

const onWhite = `{"schema":"quoin/summary/1","job":"Clear","layout":{"repeat_mm":500,"web_mm":300},"run":{"frames":100,"speed_m_per_min":60},
"inks":[{"name":"White","kind":"white"},{"name":"Black","kind":"process"},{"name":"Top White","kind":"white"},{"name":"Plum","kind":"spot"}],
"lanes":[{"lane":1},{"lane":2}],
"targets":[
{"number":1,"what":"paper","inks":[{"ink":"White","tint_percent":100}],"side":"left","box_mm":[5,10,10,15]},
{"number":2,"what":"bare","inks":[],"side":"left","box_mm":[5,15,10,20]},
{"number":3,"what":"solid","inks":[{"ink":"White","tint_percent":100},{"ink":"Plum","tint_percent":100}],"side":"left","box_mm":[5,20,10,25]},
{"number":4,"what":"tint","inks":[{"ink":"White","tint_percent":100},{"ink":"Plum","tint_percent":50}],"side":"left","box_mm":[5,25,10,30]},
{"number":5,"what":"solid","inks":[{"ink":"Top White","tint_percent":100}],"side":"left","box_mm":[5,30,10,35]},
{"number":6,"what":"solid","inks":[{"ink":"Black","tint_percent":100},{"ink":"Top White","tint_percent":100}],"side":"left","box_mm":[5,35,10,40]},
{"number":7,"what":"solid","inks":[{"ink":"White","tint_percent":100},{"ink":"Plum","tint_percent":100}],"side":"matrix","lane":1,"box_mm":[100,10,103,13]},
{"number":8,"what":"solid","inks":[{"ink":"White","tint_percent":100},{"ink":"Plum","tint_percent":100}],"side":"matrix","lane":2,"box_mm":[100,13,103,16]},
{"number":9,"what":"solid","inks":[{"ink":"White","tint_percent":100},{"ink":"White 2","tint_percent":100},{"ink":"Black","tint_percent":100}],"side":"left","box_mm":[5,40,10,45]}]}`

// On clear stock the white is the paper: tone values start from it, opacity is
// white over black against white alone, and each lane is told from the others.
func TestPatchesOnWhiteAreJudged(t *testing.T) {
	r, err := colour.ParseRun("clear.json", []byte(strings.Replace(onWhite, `"inks":[{"name":"White","kind":"white"}`, `"inks":[{"name":"White","kind":"white"},{"name":"White 2","kind":"white"}`, 1)))
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range map[int]string{1: "paper on White", 2: "bare", 3: "Plum on White", 4: "Plum 50 % on White", 6: "Top White over Black", 9: "Black on White"} {
		if got := r.Targets[n-1].Name; got != want {
			t.Errorf("patch %d is %q, not %q", n, got, want)
		}
	}
	head := "X\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n"
	rows := "1 94 0 -2\n2 60 0 0\n3 40 40 -10\n4 67 20 -6\n5 92 0 0\n6 80 0 0\n7 40 40 -10\n8 46 36 -9\n9 18 0 0\n"
	rep := judged(t, r, demoProfile(t), head+rows+"END_DATA\n")
	// Y of L* 80 is 56.68, of L* 92 is 80.70 (CIE 15): 70.2 %.
	if len(rep.Opacity) != 1 || rep.Opacity[0].Ink != "Top White" || rep.Opacity[0].Percent < 70.1 || rep.Opacity[0].Percent > 70.4 {
		t.Errorf("opacity: %+v", rep.Opacity)
	}
	if rep.Paper == nil || rep.Paper.Aim != nil || rep.Paper.Lab.L != 94 {
		t.Errorf("paper: %+v", rep.Paper)
	}
	if len(rep.Lanes) != 2 || rep.Verdict != colour.Stop {
		t.Errorf("%s, lanes: %+v", rep.Verdict, rep.Lanes)
	}
	for _, ink := range rep.Inks {
		if ink.Name != "Plum" {
			continue
		}
		// The solid is the mean of three patches, 42, 38.67, -9.67.
		want, err := cielab.SpotToneValue(cielab.Lab{L: 94, B: -2}, cielab.Mean([]cielab.Lab{{L: 40, A: 40, B: -10}, {L: 40, A: 40, B: -10}, {L: 46, A: 36, B: -9}}), cielab.Lab{L: 67, A: 20, B: -6})
		if err != nil || len(ink.Tones) != 1 || ink.Tones[0].Value < want-0.01 || ink.Tones[0].Value > want+0.01 {
			t.Errorf("Plum: %+v, want %g", ink.Tones, want)
		}
	}
}

// A list of repeats says where in the run each patch comes past, by hand: the
// middle of a patch a metre behind as many whole repeats as lie before it.
func TestTargetsOfRepeats(t *testing.T) {
	r := frameOf(t, 100)
	var some colour.Repeats
	if err := some.UnmarshalText([]byte("1, 3-7/2,100")); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := r.WriteTargetsCSV(&b, aimsOf(t, demoProfile(t)), some); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != 1+5*len(r.Targets) {
		t.Fatalf("%d rows of %d patches, %v", len(rows), len(r.Targets), err)
	}
	for i, frame := range []int{1, 3, 5, 7, 100} {
		row := rows[1+i*len(r.Targets)]
		around, _ := strconv.ParseFloat(row[7], 64)
		want := strconv.FormatFloat(math.Round((float64(frame-1)*r.Layout.RepeatMM+around))/1000, 'f', -1, 64)
		if row[16] != strconv.Itoa(frame) || row[17] != want {
			t.Errorf("frame %s at metre %s, want %d at %s", row[16], row[17], frame, want)
		}
	}
	// What an instrument sends back by these columns finds its place again.
	b.Reset()
	if err := r.WriteTargets(&b, aimsOf(t, demoProfile(t)), some); err != nil {
		t.Fatal(err)
	}
	tables, err := cgats.Parse("targets.txt", &b)
	if err != nil {
		t.Fatal(err)
	}
	samples, err := tables[0].Samples()
	if err != nil {
		t.Fatal(err)
	}
	if last := samples[len(samples)-1]; last.Frame == nil || *last.Frame != 100 || last.Metre == nil {
		t.Errorf("the last sample is of frame %v, metre %v", last.Frame, last.Metre)
	}
	var all colour.Repeats
	for _, wrong := range []string{"", "0", "5-3", "1-", "1/0", "every", "2-9/x", "1;2"} {
		if err := all.UnmarshalText([]byte(wrong)); err == nil {
			t.Errorf("%q is taken", wrong)
		}
	}
	if err := all.UnmarshalText([]byte("all")); err != nil {
		t.Fatal(err)
	}
	b.Reset()
	if err := r.WriteTargets(&b, aimsOf(t, demoProfile(t)), all); err != nil {
		t.Fatal(err)
	}
	var beyond colour.Repeats
	_ = beyond.UnmarshalText([]byte("99-101"))
	if err := r.WriteTargets(io.Discard, aimsOf(t, demoProfile(t)), beyond); err == nil || !strings.Contains(err.Error(), "repeat 101 is named, and the run has 100") {
		t.Errorf("a repeat beyond the run: %v", err)
	}
}
