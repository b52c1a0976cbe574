package impose

import (
	"fmt"

	"quoin/geometry"
	"quoin/geometry/outline/nest"
	"quoin/impose/job"
	"quoin/impose/summary"
)

func sumLayout(p *Planned) summary.Layout {
	l := p.Layout
	pattern := nest.Straight
	if p.nested != nil {
		pattern = p.nested.Pattern
	}
	split := l.Split()
	room, _ := l.BleedClipped()
	upright := l.Label.Turned(l.Turn)
	part := summary.Layout{
		Across: l.Across, Around: l.Around, Labels: l.Labels(), TurnDeg: l.Turn.Degrees(), SecondSurface: p.Job.Mirror, Pattern: string(pattern),
		LabelMM: [2]float64{upright.Across.MM(), upright.Around.MM()}, LanesDiffer: l.Widths != nil,
		WebMM: l.Web.Width.MM(), BandMM: l.Web.Band().MM(), RepeatMM: l.Repeat.MM(),
		GapAcrossMM: l.Gap.Across.MM(), GapAroundMM: l.Gap.Around.MM(), BleedMM: l.Bleed.MM(),
		BleedAcrossMM: room.Across.MM(), BleedAroundMM: room.Around.MM(),
		LabelPercent: split.Label, MatrixPercent: split.Matrix, EdgePercent: split.Edge, TailPercent: split.Tail,
	}
	if r := p.Job.Repeat; r.Teeth > 0 {
		part.Cylinder = cylinder(r.Teeth, r.Gear)
	} else if d := p.Job.Tool(); d != nil && d.Cylinder.Teeth > 0 {
		part.Cylinder = cylinder(d.Cylinder.Teeth, d.Cylinder.Gear)
	}
	return part
}

// cylinder names one by its teeth.
func cylinder(teeth int, g geometry.Gear) string { return fmt.Sprintf("%d teeth, %s", teeth, g) }

// oneFrame returns the terms of a frame that is no run yet: nothing is spent
// before it or beyond it.
func oneFrame(t geometry.Terms) geometry.Terms { return geometry.Terms{Speed: t.Speed} }

// sumThousand says what 1,000 labels take where nothing is ordered: web and
// minutes without make-ready and run waste, which only a run has.
func sumThousand(j *job.Job, r *geometry.Usage, width geometry.Length) *summary.Thousand {
	if job.Ordered(j) {
		return nil
	}
	times := 1000 / float64(r.Labels)
	return &summary.Thousand{WebM: times * r.Net.Metres(), WebM2: times * r.Net.Metres() * width.Metres(), PressMin: times * r.Minutes}
}

func sumRun(r *geometry.Usage, ordered int64, t geometry.Terms, inks int) summary.Usage {
	a := r.Accounts
	return summary.Usage{
		Ordered: ordered, Labels: r.Labels, Overs: r.Labels - r.Ordered, Frames: r.Frames,
		WebNetM: r.Net.Metres(), WebGrossM: r.Gross.Metres(), SetupM: t.Setup.Metres(),
		SpeedMPerMin: t.Speed.Metres(), PressMin: r.Minutes, PrintingInks: inks,
		YieldPercent: r.Yield, OversPercent: a.Overs, MatrixPercent: a.Matrix, EdgePercent: a.Edge,
		TailPercent: a.Tail, RunWastePercent: a.Run, MakeReadyPercent: a.MakeReady,
	}
}
