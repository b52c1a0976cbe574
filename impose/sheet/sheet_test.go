package sheet

import (
	"bytes"
	"fmt"
	"image"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry/trials/draws"
	"quoin/impose/say"
	"quoin/impose/sheet/typeset"
	"quoin/impose/summary"
)

// TestNothingOverlaps lays out random jobs, on both papers: texts keep off each
// other and inside the margins, and every warning and product is to be found.
func TestNothingOverlaps(t *testing.T) {
	draws.Check(t, 40, func(t *rapid.T) {
		c := randomContent(t)
		paper := rapid.SampledFrom([]Paper{A4, Letter}).Draw(t, "paper")
		d := compose(c, paper)
		check(t, d, paper)
		if pages := d.Texts[len(d.Texts)-1].Page; pages > 2 {
			t.Errorf("%d pages", pages)
		}
		checkWarnings(t, c, d)
	})
}

// checkWarnings finds every warning on the first page, by its first words.
func checkWarnings(t interface{ Errorf(string, ...any) }, c *Content, d *typeset.Document) {
	first := ""
	for _, w := range d.Texts {
		if w.Page == 1 {
			first += w.Text + "\n"
		}
	}
	for i, w := range c.Warnings {
		if begins := fmt.Sprintf("no. %d", i); strings.HasPrefix(w.Text, begins) && !strings.Contains(first, begins) {
			t.Errorf("warning %d of %d is not on page 1", i+1, len(c.Warnings))
		}
	}
}

// check compares all texts of a page with each other.
func check(t interface{ Errorf(string, ...any) }, d *typeset.Document, paper Paper) {
	// A hundredth of a point is what gopdf rounds to.
	const hair = 0.01
	for i, a := range d.Texts {
		if a.Box.X < margin-hair || a.Box.Y < margin-hair || a.Box.Right() > paper.width-margin+hair || a.Box.Bottom() > paper.height-margin+hair {
			t.Errorf("page %d: %q at %.2f stands beyond the margin", a.Page, a.Text, a.Box)
		}
		for _, b := range d.Texts[i+1:] {
			if a.Page == b.Page && a.Box.X+hair < b.Box.Right() && b.Box.X+hair < a.Box.Right() &&
				a.Box.Y+hair < b.Box.Bottom() && b.Box.Y+hair < a.Box.Bottom() {
				t.Errorf("page %d: %q at %.2f and %q at %.2f overlap", a.Page, a.Text, a.Box, b.Text, b.Box)
			}
		}
	}
}

// randomContent draws a job of up to 24 lanes and 12 inks.
// pictures gives so many, upright and lying in turn.
func pictures(n int) (list []image.Image) {
	for i := range n {
		list = append(list, image.NewGray(image.Rect(0, 0, 40+80*(i%2), 120-80*(i%2))))
	}
	return list
}

func randomContent(t *rapid.T) *Content {
	lanes := rapid.IntRange(1, 24).Draw(t, "lanes")
	names := rapid.SliceOfN(rapid.StringOfN(rapid.RuneFrom([]rune("abcdefgh ÅÉ Ωμ Жя 日本 한글 wwwMMM-_/")), 0, 70, -1), 1, 24).Draw(t, "names")
	c := example(lanes, rapid.IntRange(1, 12).Draw(t, "inks"), names)
	for i := range rapid.IntRange(0, 25).Draw(t, "warnings") {
		text := rapid.SampledFrom(names).Draw(t, "warning")
		c.Warnings = append(c.Warnings, say.Note{Code: "x", Text: fmt.Sprintf("no. %d %s", i, strings.Repeat(text+" ", 1+i%3))})
	}
	if rapid.Bool().Draw(t, "pictures") {
		c.Pictures = pictures(len(c.Artworks))
	}
	if rapid.Bool().Draw(t, "die") {
		c.Die = &summary.Die{Number: rapid.SampledFrom(names).Draw(t, "number"), Station: "full-rotary", Cylinder: "96 teeth, 1/8in CP", RepeatMM: 304.8, TurnsPerFrame: 3}
	}
	switch rapid.IntRange(0, 2).Draw(t, "winding") {
	case 0:
		c.Winding = nil
	case 1:
		c.Winding.Face = "out"
		c.Winding.Leading = rapid.SampledFrom([]string{"top", "bottom", "left", "right"}).Draw(t, "leading")
		c.Winding.Text = "face out, " + c.Winding.Leading + " leads"
	}
	if rapid.Bool().Draw(t, "no rolls") {
		c.Rolls = nil
	}
	for range rapid.IntRange(0, 3).Draw(t, "silent") {
		c.Silent = append(c.Silent, Ink{rapid.SampledFrom(names).Draw(t, "silent ink"), "technical"})
	}
	for i := range rapid.IntRange(0, lanes).Draw(t, "mixed lanes") {
		c.Lanes[i].Artworks = []int{i + 1, lanes}
		for k := range rapid.IntRange(1, 12).Draw(t, "rows") {
			c.Stations[12*i+k].Artwork = lanes
		}
		if len(c.Rolls) > 0 {
			c.Rolls[i].Mixed, c.Rolls[i].LabelsPerRoll = []int{i + 1}, int64(1000+i)
		}
	}
	for range c.Artworks {
		c.Remarks = append(c.Remarks, rapid.SampledFrom([]string{"", "due 2026-03-04; " + strings.Repeat("part 1 of 9, the rest in run-003 ", 4), names[0]}).Draw(t, "remark"))
	}
	c.Drug = rapid.Bool().Draw(t, "drug")
	c.Layout.TurnDeg = 90 * rapid.IntRange(0, 3).Draw(t, "turn")
	c.Layout.RepeatMM = rapid.Float64Range(100, 980).Draw(t, "repeat")
	return c
}

// TestSameBytes writes one sheet twice.
func TestSameBytes(t *testing.T) {
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if _, err := Write(w, example(5, 7, worldly), A4); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same sheet gave other bytes")
	}
}

// TestMissingLettersAreNoted counts on Thai, which no face of ours has.
func TestMissingLettersAreNoted(t *testing.T) {
	c := example(1, 4, []string{"น้ำ"})
	notes, err := Write(&bytes.Buffer{}, c, Letter)
	if err != nil || len(notes) != 1 || !strings.Contains(notes[0], "U+0E19, U+0E33, U+0E49") {
		t.Errorf("notes %q, error %v", notes, err)
	}
}

// TestSheetSays looks for what people at the machines ask for.
func TestSheetSays(t *testing.T) {
	c := example(6, 5, []string{"Apple juice", "Cider", "Perry"})
	c.Warnings = append(c.Warnings, say.Note{Code: "x", Text: "the gaps leave less bleed"})
	c.Silent = []Ink{{"Cutting", "technical"}}
	d := compose(c, A4)
	all := ""
	for _, w := range d.Texts {
		all += w.Text + "\n"
	}
	for _, want := range []string{
		"1 WARNING: READ BEFORE THE RUN", "the gaps leave less bleed", "TRAVEL", "LANE AT THE", "FINISHING", "Cider", "17,004", "6 + 2,004",
		"FACE IN,", "comes off", "Not printed: Cutting (technical)", "NOT allowed", "938.1\u00a0mm", "Dies are sharp: lift and store them guarded.",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("the sheet doesn't say %q:\n%s", want, all)
		}
	}
	if first := d.Texts[0].Text; first != "Apple juice" {
		t.Errorf("the sheet begins with %q", first)
	}
}

// TestTimeNotKnown: a run of unknown speed has no minutes, not 0.
func TestTimeNotKnown(t *testing.T) {
	c := example(2, 4, []string{"Perry"})
	c.Run.SpeedMPerMin, c.Run.PressMin = 0, 0
	all := ""
	for _, w := range compose(c, A4).Texts {
		all += w.Text + "\n"
	}
	if !strings.Contains(all, "time not known") || strings.Contains(all, "0 min") {
		t.Errorf("%s", all)
	}
}

func TestLetters(t *testing.T) {
	for n, want := range map[int]string{0: "–", 1: "A", 26: "Z", 27: "AA", 52: "AZ", 53: "BA", 703: "AAA"} {
		if got := letter(n); got != want {
			t.Errorf("product %d is %q, want %q", n, got, want)
		}
	}
}
