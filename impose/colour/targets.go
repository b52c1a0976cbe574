package colour

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"quoin/impose/colour/cgats"
	"quoin/impose/say"
)

// row is one patch of a target list.
type row struct {
	*Patch
	aim    Aim
	aimed  bool
	repeat int64 // of the run, from 1; 0 where the list has the frame once
}

func (r *PressRun) rows(aims *Aims, repeats Repeats) ([]row, error) {
	numbers, err := repeats.of(r)
	if err != nil {
		return nil, err
	}
	once := make([]row, len(r.Targets))
	for i := range r.Targets {
		p := &r.Targets[i]
		aim, ok := aims.Of(r, p)
		once[i] = row{Patch: p, aim: aim, aimed: ok}
	}
	if numbers == nil {
		return once, nil
	}
	out := make([]row, 0, len(numbers)*len(once))
	for _, n := range numbers {
		for _, x := range once {
			x.repeat = n
			out = append(out, x)
		}
	}
	return out, nil
}

// metre is where the patch's middle stands in the run.
func (x row) metre(r *PressRun) string {
	return say.Digits((float64(x.repeat-1)*r.Layout.RepeatMM + x.middle()[1]) / 1000)
}

// Fields of our own in a target list, beside those of where a patch stands.
const (
	fieldWhat     = "PATCH_KIND"
	fieldInks     = "PATCH_INKS" // amounts in percent: "Cyan 50 + White 100"
	fieldSide     = "WEB_SIDE"
	fieldLane     = "LANE"
	fieldWidth    = "PATCH_ACROSS" // mm
	fieldLength   = "PATCH_AROUND" // mm
	fieldAperture = "APERTURE"     // largest that fits, mm
	fieldSource   = "AIM_SOURCE"
)

// WriteTargets writes the frame's patches for a measuring device in the
// exchange form of ISO 28178. Places are the patches' middles, in mm from the
// web's left edge and the frame's leading end; the patch stands there once in
// each repeat, whose length the header says. With repeats each of them has its
// rows, which say FRAME and METRE. Patches without an aim stand in a second table,
// which has no colours, since the form knows no empty value.
func (r *PressRun) WriteTargets(w io.Writer, aims *Aims, repeats Repeats) error {
	all, err := r.rows(aims, repeats)
	if err != nil {
		return err
	}
	var with, without []row
	for _, x := range all {
		if x.aimed {
			with = append(with, x)
		} else {
			without = append(without, x)
		}
	}
	for _, part := range [][]row{with, without} {
		if len(part) == 0 {
			continue
		}
		if err := r.targetTable(part).Write(w); err != nil {
			return err
		}
	}
	return nil
}

func (r *PressRun) targetTable(rows []row) *cgats.Table {
	t := &cgats.Table{Form: "ISO28178", Headers: []cgats.Keyword{
		{Name: "ORIGINATOR", Value: "quoin"},
		{Name: "DESCRIPTOR", Value: "Targets of " + r.Job},
		{Name: "MEASUREMENT_SOURCE", Value: "D50, 2 degree observer, 45:0; say the M condition (ISO 13655)"},
		{Name: "KEYWORD", Value: "REPEAT_MM"}, {Name: "REPEAT_MM", Value: say.Digits(r.Layout.RepeatMM)},
		{Name: "KEYWORD", Value: "FRAMES"}, {Name: "FRAMES", Value: strconv.FormatInt(r.Run.Frames, 10)},
		{Name: "KEYWORD", Value: "WEB_MM"}, {Name: "WEB_MM", Value: say.Digits(r.Layout.WebMM)},
	}, Fields: []string{"SAMPLE_ID", "SAMPLE_NAME", fieldWhat, fieldInks, fieldSide, fieldLane, cgats.FieldAcross, cgats.FieldAround, fieldWidth, fieldLength, fieldAperture}}
	if rows[0].repeat > 0 {
		t.Fields = append(t.Fields, cgats.FieldFrame, cgats.FieldMetre)
	}
	if rows[0].aimed {
		t.Fields = append(t.Fields, "LAB_L", "LAB_A", "LAB_B", fieldSource)
	}
	for _, x := range rows {
		c := x.middle()
		values := []string{strconv.Itoa(x.Number), cgats.Quote(x.Name), x.What, cgats.Quote(x.mix()), x.Side, strconv.Itoa(x.Lane),
			say.Digits(c[0]), say.Digits(c[1]), say.Digits(x.Box[2] - x.Box[0]), say.Digits(x.Box[3] - x.Box[1]), say.Digits(x.Aperture())}
		if x.repeat > 0 {
			values = append(values, strconv.FormatInt(x.repeat, 10), x.metre(r))
		}
		if x.aimed {
			values = append(values, say.Fixed(x.aim.Lab.L, 2), say.Fixed(x.aim.Lab.A, 2), say.Fixed(x.aim.Lab.B, 2), cgats.Quote(x.aim.Source))
		}
		t.Rows = append(t.Rows, cgats.Row{Values: values})
	}
	return t
}

// WriteTargetsCSV writes the same as a spreadsheet reads it, aims left empty
// where there are none.
func (r *PressRun) WriteTargetsCSV(w io.Writer, aims *Aims, repeats Repeats) error {
	rows, err := r.rows(aims, repeats)
	if err != nil {
		return err
	}
	c := csv.NewWriter(w)
	head := []string{"id", "name", "kind", "inks", "side", "lane", "across_mm", "around_mm", "width_mm", "length_mm", "aperture_mm", "repeat_mm",
		"aim_l", "aim_a", "aim_b", "aim_source"}
	if repeats.list != nil {
		head = append(head, "frame", "metre")
	}
	if err := c.Write(head); err != nil {
		return err
	}
	for _, x := range rows {
		at := x.middle()
		line := []string{strconv.Itoa(x.Number), x.Name, x.What, x.mix(), x.Side, strconv.Itoa(x.Lane), say.Digits(at[0]), say.Digits(at[1]),
			say.Digits(x.Box[2] - x.Box[0]), say.Digits(x.Box[3] - x.Box[1]), say.Digits(x.Aperture()), say.Digits(r.Layout.RepeatMM), "", "", "", ""}
		if x.repeat > 0 {
			line = append(line, strconv.FormatInt(x.repeat, 10), x.metre(r))
		}
		if x.aimed {
			copy(line[12:], []string{say.Fixed(x.aim.Lab.L, 2), say.Fixed(x.aim.Lab.A, 2), say.Fixed(x.aim.Lab.B, 2), x.aim.Source})
		}
		// A cell that begins like a formula is one to a spreadsheet.
		for i, v := range line {
			if v != "" && strings.ContainsRune("=+@", rune(v[0])) {
				line[i] = "'" + v
			}
		}
		if err := c.Write(line); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

func (p *Patch) middle() [2]float64 {
	return [2]float64{(p.Box[0] + p.Box[2]) / 2, (p.Box[1] + p.Box[3]) / 2}
}

// mix names all inks of a patch with their amounts.
func (p *Patch) mix() string {
	words := make([]string, len(p.Tints))
	for i, t := range p.Tints {
		words[i] = fmt.Sprintf("%s %s", t.Ink, say.Plain(t.Percent, 2))
	}
	return strings.Join(words, " + ")
}

// Solids lists the inks whose spectra the artworks carry and the run prints, in
// the run's order.
func (r *PressRun) Solids(aims *Aims) []string {
	var out []string
	for _, i := range r.Inks {
		if _, ok := aims.Spectra[i.Name]; ok && !slices.Contains(out, i.Name) {
			out = append(out, i.Name)
		}
	}
	return out
}
