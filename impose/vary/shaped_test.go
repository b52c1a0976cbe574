package vary_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw/typeface"
	"quoin/impose/ink"
	"quoin/impose/vary"
	"quoin/impose/witness"
)

// fontField is a field in font files.
func fontField(t testing.TB, value string, change func(*vary.Letters), fonts ...string) vary.Field {
	t.Helper()
	l := &vary.Letters{Cap: 2 * mm, Width: 30 * mm}
	for _, name := range fonts {
		path := witness.Font(t, name)
		face, err := typeface.Open(path, path)
		if err != nil {
			t.Fatal(err)
		}
		l.Fonts = append(l.Fonts, vary.Font{File: name + ".ttf", Face: face})
	}
	if change != nil {
		change(l)
	}
	return vary.Field{Name: "text", Value: value, At: geometry.Position{Across: 3 * mm, Around: 3 * mm}, Ink: ink.Black, Letters: l}
}

// shapedPlan is a run of a CSV file's texts.
func shapedPlan(t testing.TB, csv string, f vary.Field) vary.Request {
	p := plan(t, 1, f)
	p.Records, p.Unique = records(t, csv, 0), []string{}
	return p
}

// A letter that no font has stops the run with its record, its line and itself.
func TestMissingGlyphNamesRecordAndLetter(t *testing.T) {
	p := shapedPlan(t, "name\nGood\n\"Lot\n7\"\nLot ก\n", fontField(t, "{name}", nil, "NotoSans-Regular"))
	_, err := vary.Prepare(context.Background(), p)
	if err == nil || !strings.Contains(fmt.Sprint(err), "records.csv:3: record 2") || !strings.Contains(err.Error(), `'\n' (U+000A)`) {
		t.Error(err) // a line feed needs a box
	}
	p = shapedPlan(t, "name\nGood\nLot ก\n", fontField(t, "{name}", nil, "NotoSans-Regular"))
	if _, err = vary.Prepare(context.Background(), p); err == nil || !strings.Contains(err.Error(), "records.csv:3: record 2") || !strings.Contains(err.Error(), "'ก' (U+0E01)") {
		t.Error(err)
	}
	p = shapedPlan(t, "name\nGood\nLot ก\n", fontField(t, "{name}", nil, "NotoSans-Regular", "NotoSansThai-Regular"))
	if _, err = vary.Prepare(context.Background(), p); err != nil {
		t.Error(err)
	}
}

// Text is held to its room: refused where it is too long, or shrunk no further
// than its least size, on a line and in a box.
func TestRoomOfShapedText(t *testing.T) {
	long := "name\n" + strings.Repeat("several words ", 8) + "\n"
	for _, c := range []struct {
		change func(*vary.Letters)
		want   string
	}{
		{nil, "is 1"},
		{func(l *vary.Letters) { l.Fit, l.Least = vary.Shrink, mm }, "too much to shrink it"},
		{func(l *vary.Letters) { l.Box = 4 * mm }, "lines, and the box is 30 mm x 4 mm"},
		{func(l *vary.Letters) { l.Box, l.Fit, l.Least = 4*mm, vary.Shrink, 1_800_000 }, "with capitals of 1.8 mm"},
		{func(l *vary.Letters) { l.Box, l.Fit = 4*mm, vary.Squeeze }, "can't be squeezed into a box"},
		{func(l *vary.Letters) { l.Box, l.Fit, l.Least = 8*mm, vary.Shrink, mm }, ""},
		{func(l *vary.Letters) { l.Box = 30 * mm }, ""},
	} {
		_, err := vary.Prepare(context.Background(), shapedPlan(t, long, fontField(t, "{name}", c.change, "NotoSans-Regular")))
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

// Text that runs from right to left starts at the right where it is aligned by
// its start; a shrunk box keeps its text inside.
func TestShapedTextStandsInItsRoom(t *testing.T) {
	csv := "name\nab\nשלום\n" + strings.Repeat("many words ", 12) + "\n"
	field := fontField(t, "{name}", func(l *vary.Letters) {
		l.Box, l.Fit, l.Least, l.Align = 6*mm, vary.Shrink, 500_000, vary.Start
	}, "NotoSans-Regular", "NotoSansHebrew-Regular")
	r := prepare(t, shapedPlan(t, csv, field))
	for i, want := range [][2]float64{{0, 6}, {20, 30}, {0, 30}} {
		box, err := vary.Ink(r, int64(i+1))
		if err != nil {
			t.Fatal(err)
		}
		left, right := (box.Min.Across - 3*mm).MM(), (box.Max.Across - 3*mm).MM()
		if left < want[0]-0.3 || right > want[1]+0.3 || box.Min.Around < 2*mm || box.Max.Around > 9*mm+800_000 {
			t.Errorf("record %d is set from %.2f to %.2f mm, %v; want %v", i+1, left, right, box, want)
		}
	}
}
