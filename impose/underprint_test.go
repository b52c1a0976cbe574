package impose

import (
	"fmt"
	"image"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/mark"
	"quoin/impose/say"
	"quoin/impose/witness"
)

const um = geometry.Micrometre

// plateReader reads plates at a position of the frame, in steps of 255.
type plateReader struct {
	t      *testing.T
	dpi    float64
	plates map[string]*image.Gray
}

func platesOf(t *testing.T, path string, dpi float64) *plateReader {
	t.Helper()
	return &plateReader{t, dpi, witness.Plates(t, path, 1, dpi)}
}

func (r *plateReader) at(name string, p geometry.Position) int {
	r.t.Helper()
	plate := r.plates[name]
	if plate == nil {
		r.t.Fatalf("no plate %q", name)
	}
	px := func(l geometry.Length) int { return int(l.Points() * r.dpi / 72) }
	return int(plate.GrayAt(px(p.Across), px(p.Around)).Y)
}

// TestOrdersOfWhiteThatLoseIt has the cases TV-P8 to TV-P11, as a flood of white and a
// square of magenta, drawn by hand: what each order does to the plates is what
// the engine's order is chosen by. ISO 32000-1 8.6.7 and 11.6.6.
func TestOrdersOfWhiteThatLoseIt(t *testing.T) {
	if testing.Short() {
		t.Skip("separates by hand-made orders")
	}
	const (
		white = "q /W cs 1 scn %s 10 10 80 80 re f Q "
		art   = "q %s /A Do Q "
	)
	isolated, shared := "/Group << /S /Transparency /I true /CS /DeviceCMYK >>", "/Group << /S /Transparency /I false /CS /DeviceCMYK >>"
	for _, c := range []struct {
		name, group, artState, content string
		magenta, white                 int
	}{
		{"P8 beneath a plain form", "", "/O gs", fmt.Sprintf(white, "") + fmt.Sprintf(art, ""), 255, 255},
		{"P8 beneath a group that shares its backdrop", shared, "/O gs", fmt.Sprintf(white, "") + fmt.Sprintf(art, ""), 255, 255},
		{"P8 beneath an isolated group", isolated, "/O gs", fmt.Sprintf(white, "") + fmt.Sprintf(art, ""), 255, 0},
		{"P8 beneath an isolated group, overprint set outside too", isolated, "/O gs", fmt.Sprintf(white, "") + fmt.Sprintf(art, "/O gs"), 255, 0},
		{"P9 beneath a form that knocks out", "", "", fmt.Sprintf(white, "") + fmt.Sprintf(art, ""), 255, 0},
		{"P10 above, overprinting", isolated, "", fmt.Sprintf(art, "") + fmt.Sprintf(white, "/O gs"), 255, 255},
		{"P11 above, not overprinting", isolated, "", fmt.Sprintf(art, "") + fmt.Sprintf(white, ""), 0, 255},
		{"P12 a form that inherits overprint", "", "", fmt.Sprintf(white, "") + "/O gs " + fmt.Sprintf(art, ""), 255, 255},
	} {
		resources := "/Resources << /ColorSpace << /W [/Separation /White /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 0 0 0] >>] >> " +
			"/ExtGState << /O << /OP true /op true /OPM 1 >> >> /XObject << /A 5 0 R >> >>"
		path := witness.Handwritten(t,
			"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
			"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 100 100] /Contents 4 0 R "+resources+" >>",
			witness.Stream("", c.content),
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 100 100] "+c.group+" /Resources << /ExtGState << /O << /OP true /op true /OPM 1 >> >> >>",
				c.artState+" 0 1 0 0 k 30 30 40 40 re f"),
		)
		plates := witness.Plates(t, path, 1, 72)
		if m, w := int(plates["Magenta"].GrayAt(50, 50).Y), int(plates["White"].GrayAt(50, 50).Y); m != c.magenta || w != c.white {
			t.Errorf("%s: magenta %d, white %d, want %d, %d", c.name, m, w, c.magenta, c.white)
		}
	}
}

// TestWhiteStandsUnderEveryArtwork floods artworks that would lose a white
// painted before them: all keep their magenta, and all have their white, with
// two hits on plates of their own, choked within the bleed (TV-P10, TV-P16).
func TestWhiteStandsUnderEveryArtwork(t *testing.T) {
	if testing.Short() {
		t.Skip("separates four frames")
	}
	for _, name := range []string{"isolated", "knockout", "nonisolated", "plain"} {
		// An isolated group and a plain one side by side.
		j := placingJob(filepath.Join("../testdata/placing", "underprint-"+name+".pdf"), "../testdata/placing/underprint-plain.pdf")
		j.WebWidth = 100 * geometry.Millimetre
		j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.Flood, Choke: 500 * um, Hits: 2}
		j.Marks.Register = job.Register{On: true, Size: 5 * geometry.Millimetre, Line: 500 * um}
		lane := 8 * geometry.Millimetre
		j.TargetLane = &lane
		im, out := imposed(t, j)
		witness.NoComplaint(t, out)
		r := platesOf(t, out, 144)
		for _, s := range im.Layout.Station {
			c := s.Trim.Centre()
			edge := s.Clip.Min.Add(geometry.Size{Across: 250 * um, Around: 250 * um})
			inside := s.Clip.Min.Add(geometry.Size{Across: 800 * um, Around: 800 * um})
			for ink, want := range map[string][3]int{"Magenta": {255, 0, 0}, "White": {255, 0, 255}, "White 2": {255, 0, 255}, "Cyan": {}, "Black": {}} {
				if got := [3]int{r.at(ink, c), r.at(ink, edge), r.at(ink, inside)}; got != want {
					t.Errorf("%s, lane %d, row %d, %s: %v at centre, edge and inside, want %v", name, s.Lane, s.Row, ink, got, want)
				}
			}
		}
		onEveryPlate(t, im, r)
		if n := len(im.PrintingInks()); n != 3 {
			t.Errorf("%d printing inks, want magenta and two whites", n)
		}
	}
}

// onEveryPlate finds a register mark in the left margin: each printing ink is
// part of it, and no other plate is.
func onEveryPlate(t *testing.T, im *Imposition, r *plateReader) {
	t.Helper()
	for name, plate := range r.plates {
		most := uint8(0)
		for y := range plate.Bounds().Dy() {
			for x := range int((8 * geometry.Millimetre).Points() * r.dpi / 72) {
				most = max(most, plate.GrayAt(x, y).Y)
			}
		}
		prints := slices.ContainsFunc(im.PrintingInks(), func(i ink.Ink) bool { return i.Name == name })
		if prints != (most == 255) || !prints && most > 0 {
			t.Errorf("plate %s holds at most %d of 255 in the margin", name, most)
		}
	}
}

// shapedLabel prints magenta at the left, a fade and a thin line at the right.
func shapedLabel(t *testing.T) string {
	t.Helper()
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 113.3858268 113.3858268] /Resources << /ExtGState << /H << /ca .5 >> >> >> >>", // 40 mm
		witness.Stream("", "0 1 0 0 k 20 20 30 70 re f 0 0 0 1 k 100 20 1 70 re f /H gs 1 0 0 0 k 60 20 30 70 re f"),
	)
}

// TestWhiteFollowsTheArtwork: the shape of the artwork, choked on every side,
// half where the artwork is half opaque, nothing where a line is thinner than
// two chokes or where nothing is painted; upright and turned.
func TestWhiteFollowsTheArtwork(t *testing.T) {
	pt := func(v float64) geometry.Length {
		return geometry.Length(v * float64(geometry.Inch) / geometry.PointsPerInch)
	}
	for _, turn := range []geometry.Turn{geometry.Turn0, geometry.Turn90} {
		for _, choke := range []geometry.Length{0, geometry.Millimetre} {
			j := placingJob(shapedLabel(t))
			j.Turns = []geometry.Turn{turn}
			j.WebWidth = 90 * geometry.Millimetre
			j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.ByShape, Choke: choke, Hits: 1}
			im, out := imposed(t, j)
			witness.NoComplaint(t, out)
			r := platesOf(t, out, 254) // 10 pixels a millimetre
			for i, s := range im.Layout.Station {
				at := func(x, y float64) geometry.Position { // from the page's upper left, in points
					across, around, _ := onFrame(im, i, x, y)
					return geometry.Position{Across: pt(across), Around: pt(around)}
				}
				line := 255
				if choke > 0 {
					line = 0
				}
				for _, c := range []struct {
					what string
					x    float64
					want int
				}{
					{"inside", 35, 255}, {"fade", 75, 128}, {"paper", 10, 0}, {"between", 55, 0}, {"line", 100.5, line},
					{"before the left edge", 20 + choke.Points() - .7, 0}, {"behind the left edge", 20 + choke.Points() + .7, 255},
					{"before the right edge", 50 - choke.Points() - .7, 255}, {"behind the right edge", 50 - choke.Points() + .7, 0},
				} {
					if got := r.at("White", at(c.x, 60)); got < c.want-2 || got > c.want+2 {
						t.Errorf("turned %s, choke %s, lane %d, row %d, %s: white %d of 255, want %d", turn, choke, s.Lane, s.Row, c.what, got, c.want)
					}
				}
				if m := r.at("Magenta", at(35, 60)); m != 255 {
					t.Errorf("magenta is %d", m)
				}
			}
			if testing.Short() {
				return
			}
		}
	}
}

// TestWhitesAreInksOfTheJob: each hit takes a station, and one that can't be a
// white is refused with the way out.
func TestWhitesAreInksOfTheJob(t *testing.T) {
	j := jobFor(inkedLabel(t, 2))
	j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.Flood, Hits: 3}
	im, err := Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	var names []string
	for _, i := range im.PrintingInks() {
		names = append(names, i.Name)
	}
	if got := strings.Join(names, ", "); got != "Black, Hedge Green 0, Hedge Green 1, White, White 2, White 3" {
		t.Errorf("printing inks %s", got)
	}
	for _, bad := range []job.Underprint{
		{Ink: "Hedge Green 1", Shape: job.Flood, Hits: 1},
		{Ink: "White", Shape: job.Flood, Hits: 1, Choke: 30 * geometry.Millimetre},
	} {
		j.Inks.Underprint = &bad
		if _, err := Open(t.Context(), j); say.KindOf(err) != say.BadFile || say.Hint(err) == "" {
			t.Errorf("%+v: %v", bad, err)
		}
	}
}

// TestWhiteIsMeasuredOverBlackOnTheSecondSurface: on the first surface white is
// printed before black, so that black beneath its patches would hide it; on the
// second it is printed after black.
func TestWhiteIsMeasuredWhereItIsPrinted(t *testing.T) {
	for _, second := range []bool{false, true} {
		j := jobFor(inkedLabel(t, 0))
		j.Mirror = second
		j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.Flood, Hits: 1}
		im, err := Open(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		defer im.Close()
		found := false
		for _, p := range im.Patches {
			if p.Ink == "White" && p.What == mark.Full {
				found = true
				if over := p.Tints[0].Ink == ink.Black; over != second {
					t.Errorf("second surface %t: the patch of white is %s", second, p.Name)
				}
			}
		}
		if !found {
			t.Error("no patch of white")
		}
	}
}

// TestOverprintIsNotInherited: what the frame paints before an artwork leaves
// no overprint on (TV-P12), as a white overprints and an artwork may not.
func TestWhiteIsPaintedAfterAllArtworks(t *testing.T) {
	j := jobFor(inkedLabel(t, 0))
	j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.ByShape, Hits: 2}
	im, err := Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	order := ""
	for _, item := range im.Frame.Items {
		if l := string(item.On()); !strings.HasSuffix(order, l) {
			order += " " + l
		}
	}
	if !strings.HasPrefix(order, " artwork white ") {
		t.Errorf("painted in the order%s", order)
	}
	for _, item := range im.Frame.Items {
		if c, ok := item.(draw.Cover); ok && !c.Paint.Overprint {
			t.Fatal("the white doesn't overprint")
		}
	}
}

// TestVarnishGetsNoWhite: a varnish over all of a label, and a die line, don't
// make its underprint a flood; where colour prints, white stands beneath.
func TestVarnishGetsNoWhite(t *testing.T) {
	spot := func(name string) string {
		return "[/Separation /" + name + " /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 .1 .1 0] >>]"
	}
	label := witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 113.3858268 113.3858268] "+
			"/Resources << /ColorSpace << /V 5 0 R /D "+spot("Die")+" >> >> >>", // 40 mm
		witness.Stream("", "0 1 0 0 k 20 20 30 70 re f /V cs 1 scn 0 0 110 110 re f /D cs 1 scn 60 20 20 20 re f"),
		spot("Varnish"),
	)
	for _, choke := range []geometry.Length{0, geometry.Millimetre} {
		j := placingJob(label)
		j.WebWidth = 90 * geometry.Millimetre
		j.Inks.Varnish, j.Inks.Technical = []string{"Varnish"}, []string{"Die"}
		j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.ByShape, Choke: choke, Hits: 1}
		im, out := imposed(t, j)
		witness.NoComplaint(t, out)
		r := platesOf(t, out, 127)
		for _, s := range im.Layout.Station {
			at := func(x, y float64) geometry.Position {
				return s.Trim.Min.Add(geometry.Size{Across: geometry.FromMM(x / 72 * 25.4), Around: geometry.FromMM((113.386 - y) / 72 * 25.4)})
			}
			for _, c := range []struct {
				what           string
				at             geometry.Position
				white, varnish int
			}{{"colour", at(35, 60), 255, 255}, {"varnish alone", at(100, 100), 0, 255}, {"a die line", at(70, 30), 0, 0}} {
				if w := r.at("White", c.at); w != c.white {
					t.Errorf("choke %s, lane %d, row %d, %s: white %d of 255, want %d", choke, s.Lane, s.Row, c.what, w, c.white)
				}
				if v := r.at("Varnish", c.at); c.what != "a die line" && v != c.varnish {
					t.Errorf("%s: varnish %d of 255, want %d", c.what, v, c.varnish)
				}
			}
		}
	}
}

// TestTargetsStandOnWhiteWhereLabelsDo: on clear and metallic stock colours are
// read on the white that the labels have; one patch stays bare.
func TestTargetsStandOnWhiteWhereLabelsDo(t *testing.T) {
	for _, c := range []struct {
		kind, underprint string
		onWhite          bool
	}{{"clear film", "White", true}, {"metallised paper", "White", true}, {"paper", "White", false}, {"clear film", "", false}} {
		j := jobFor(inkedLabel(t, 1))
		j.Material.Kind = c.kind
		if c.underprint != "" {
			j.Inks.Underprint = &job.Underprint{Ink: c.underprint, Shape: job.Flood, Hits: 1}
		}
		im, err := Open(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		defer im.Close()
		bare := 0
		for _, p := range im.Patches {
			white := slices.ContainsFunc(p.Tints, func(t draw.Tint) bool { return t.Ink == "White" && t.Amount == 1 })
			switch {
			case p.What == mark.Bare:
				bare++
			case p.Ink != "White" && white != c.onWhite:
				t.Errorf("%s: the patch %s is on white: %t", c.kind, p.Name, white)
			}
		}
		said := slices.ContainsFunc(im.remarks().notes, func(n say.Note) bool { return n.Code == "targets-on-white" })
		if said != c.onWhite || (bare > 0) != c.onWhite {
			t.Errorf("%s: said %t, %d bare patches", c.kind, said, bare)
		}
	}
}
