package impose

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/witness"
)

// inkedLabel writes a label of 50 x 75 mm with 1.5 mm of bleed that prints
// black and so many spot inks.
func inkedLabel(t *testing.T, spots int) string {
	t.Helper()
	var spaces, content strings.Builder
	content.WriteString("0 0 0 1 k 10 10 100 20 re f\n")
	for i := range spots {
		fmt.Fprintf(&spaces, "/S%d [/Separation /Hedge#20Green#20%d /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [1 0 1 0] >>] ", i, i)
		fmt.Fprintf(&content, "/S%d cs 1 scn %d 40 8 8 re f\n", i, 10+10*i)
	}
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		`<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << /ColorSpace << `+spaces.String()+`>> >>
/MediaBox [0 0 150.2362205 221.1023622] /BleedBox [0 0 150.2362205 221.1023622]
/TrimBox [4.2519685 4.2519685 145.9842520 216.8503937] >>`,
		witness.Stream("", content.String()),
	)
}

// w1 gives the worked job W1 with so many printing inks, on the sample press.
func w1(t *testing.T, inks int) *job.Job {
	t.Helper()
	press, err := job.ReadPress("../samples/press.yaml")
	if err != nil {
		t.Fatal(err)
	}
	j := job.New()
	zero, edge := geometry.Length(0), 10*geometry.Millimetre
	setup, waste := 60*geometry.Metre, 3*geometry.Percent
	j.Press, j.WebWidth, j.Edge, j.TargetLane = press, 340*geometry.Millimetre, &edge, &zero
	j.Gap = geometry.Size{Across: 3 * geometry.Millimetre, Around: 3175 * geometry.Micrometre}
	j.Bleed = 1500 * geometry.Micrometre
	j.Repeat.Longest = 980 * geometry.Millimetre
	j.Turns = []geometry.Turn{geometry.Turn0}
	j.Run.Setup, j.Run.RunWaste = &setup, &waste
	j.Artworks = []job.Artwork{{File: inkedLabel(t, inks-1), Page: 1, Quantity: 100_000}}
	return j
}

// TestWorkedJob is the worked job W1: 100,000 labels of 50 x 75 mm, gaps 3 and
// 3.175 mm, web 340 mm of which 320 print, frames of at most 980 mm, 60 m of
// make-ready and 3 % of run waste; up to six inks at 120 m/min, then 60 (a
// common press description, no source). All values calculated by hand.
func TestWorkedJob(t *testing.T) {
	for inks, minutes := range map[int]float64{6: 11.684, 7: 23.369} {
		s := summaryOf(t, w1(t, inks))
		if l := s.Layout; l.Across != 6 || l.Around != 12 || l.Labels != 72 || l.RepeatMM != 938.1 || l.BandMM != 320 {
			t.Errorf("layout %+v", l)
		}
		r := s.Run
		if r.Frames != 1389 || r.Labels != 100_008 || r.Overs != 8 || r.PrintingInks != inks {
			t.Errorf("run %+v", r)
		}
		for _, v := range []struct {
			name      string
			got, want float64
		}{
			{"net m", r.WebNetM, 1303.021}, {"gross m", r.WebGrossM, 1402.112}, {"min", r.PressMin, minutes},
			{"label %", s.Layout.LabelPercent, 84.652}, {"matrix %", s.Layout.MatrixPercent, 7.995}, {"edge %", s.Layout.EdgePercent, 7.353},
			{"yield %", r.YieldPercent, 78.663}, {"make-ready %", r.MakeReadyPercent, 4.279},
			{"all %", r.YieldPercent + r.OversPercent + r.MatrixPercent + r.EdgePercent + r.TailPercent + r.RunWastePercent + r.MakeReadyPercent, 100},
		} {
			if math.Abs(v.got-v.want) > 0.0005 {
				t.Errorf("%d inks: %s is %.4f, want %.3f", inks, v.name, v.got, v.want)
			}
		}
		for _, lane := range s.Lanes {
			if lane.Labels != 16_668 {
				t.Errorf("lane %d makes %d labels, want 16,668", lane.Lane, lane.Labels)
			}
		}
	}
}
