package impose

import (
	"fmt"
	"path/filepath"

	"quoin/geometry"
	"quoin/impose/press"
)

// Summary works out what there is to say.
func (im *Imposition) Summary() (*Summary, error) {
	printing := im.PrintingInks()
	terms, err := im.Job.RunTerms(len(printing))
	if err != nil {
		return nil, err
	}
	demands := im.demands()
	run, err := im.Layout.PlanRun(demands, terms)
	if err != nil {
		return nil, err
	}
	s := &Summary{
		Schema: SummarySchema, Job: im.Job.Name,
		Layout:   im.layoutPart(),
		Run:      runPart(run, terms, len(printing)),
		Inks:     []InkPart{},
		Targets:  im.targetParts(),
		Warnings: append([]Warning{}, im.warnings...),
		Notes:    append([]Warning{}, im.notes...),
	}
	for _, e := range im.Inks.Inks {
		s.Inks = append(s.Inks, InkPart{e.Name, string(e.Kind)})
	}
	s.Die, s.Winding, s.Cut = im.diePart(), im.windingPart(), im.cutPart()
	if s.Flexo, err = im.flexoPart(); err != nil {
		return nil, err
	}
	if s.Flexo != nil && s.Flexo.WalkMM > 0 {
		s.Warnings = append(s.Warnings, Warning{"flexo-walk", fmt.Sprintf(
			"the frame is no whole number of the flexo unit's repeats of %s mm: print and plate drift apart by %s mm with every frame",
			digits(s.Flexo.RepeatMM), digits(s.Flexo.WalkMM))})
	}
	if s.Production, err = im.production(run, terms); err != nil {
		return nil, err
	}
	im.products(s, run.Frames, demands)
	if s.Rolls, err = im.rollParts(s.Lanes); err != nil {
		return nil, err
	}
	im.stations(s)
	if im.pages > 0 {
		s.Written = im.written()
	}
	if s.Files, err = im.fileParts(); err != nil {
		return nil, err
	}
	return s, nil
}

func (im *Imposition) layoutPart() LayoutPart {
	l := im.Layout
	split := l.Split()
	room, _ := l.BleedClipped()
	upright := l.Label.Turned(l.Turn)
	part := LayoutPart{
		Across: l.Across, Around: l.Around, Labels: l.Labels(), TurnDeg: l.Turn.Degrees(), SecondSurface: im.Job.Mirror, Pattern: string(im.pattern()),
		LabelMM: [2]float64{upright.Across.MM(), upright.Around.MM()}, LanesDiffer: l.Widths != nil,
		WebMM: l.Web.Width.MM(), BandMM: l.Web.Band().MM(), RepeatMM: l.Repeat.MM(),
		GapAcrossMM: l.Gap.Across.MM(), GapAroundMM: l.Gap.Around.MM(), BleedMM: l.Bleed.MM(),
		BleedAcrossMM: room.Across.MM(), BleedAroundMM: room.Around.MM(),
		LabelPercent: split.Label, MatrixPercent: split.Matrix, EdgePercent: split.Edge, TailPercent: split.Tail,
	}
	if r := im.Job.Repeat; r.Teeth > 0 {
		part.Cylinder = teeth(r.Teeth, r.Gear)
	} else if d := im.Job.Tool(); d != nil && d.Cylinder.Teeth > 0 {
		part.Cylinder = teeth(d.Cylinder.Teeth, d.Cylinder.Gear)
	}
	return part
}

func runPart(r *geometry.Run, t geometry.Terms, inks int) RunPart {
	a := r.Accounts
	return RunPart{
		Ordered: r.Ordered, Labels: r.Labels, Overs: r.Labels - r.Ordered, Frames: r.Frames,
		WebNetM: r.Net.Metres(), WebGrossM: r.Gross.Metres(), SetupM: t.Setup.Metres(),
		SpeedMPerMin: t.Speed.Metres(), PressMin: r.Minutes, PrintingInks: inks,
		YieldPercent: r.Yield, OversPercent: a.Overs, MatrixPercent: a.Matrix, EdgePercent: a.Edge,
		TailPercent: a.Tail, RunWastePercent: a.Run, MakeReadyPercent: a.MakeReady,
	}
}

// products says what each artwork and each lane yields.
func (im *Imposition) products(s *Summary, frames int64, demands []geometry.Demand) {
	for i, a := range im.Job.Artworks {
		made := frames * int64(demands[i].Places)
		s.Artworks = append(s.Artworks, ArtworkPart{
			Artwork: i + 1, File: a.File, Path: im.fileName(im.Pages[i].File.Path), Page: im.Pages[i].Number, Product: a.Product,
			Lanes: []int{}, Ordered: a.Quantity, Labels: made, Overs: made - a.Quantity,
		})
		if im.Layout.Widths != nil {
			label := im.LabelSize(i)
			s.Artworks[i].LabelMM = &[2]float64{label.Across.MM(), label.Around.MM()}
		}
	}
	s.Lanes = []LanePart{}
	for lane := 1; lane <= im.Layout.Across; lane++ {
		var box geometry.Box
		rows := int64(0)
		for i, st := range im.Layout.Station {
			if st.Lane == lane {
				box = box.Union(st.Trim)
				if im.Places[i] >= 0 {
					rows++
				}
			}
		}
		part := LanePart{
			Lane: lane, FinishingLane: im.finishingLane(lane), Artwork: max(im.Lanes[lane-1]+1, 0),
			LeftMM: box.Min.Across.MM(), RightMM: box.Max.Across.MM(), Labels: frames * rows,
		}
		for _, art := range im.inLane(lane) {
			s.Artworks[art].Lanes = append(s.Artworks[art].Lanes, lane)
			if im.Lanes[lane-1] == MixedLane {
				part.Artworks = append(part.Artworks, art+1)
			}
		}
		s.Lanes = append(s.Lanes, part)
	}
}

func (im *Imposition) stations(s *Summary) {
	s.Stations = []StationPart{}
	places := im.placements()
	for i, st := range im.Layout.Station {
		art := im.Places[i]
		if art < 0 {
			continue
		}
		for _, move := range im.shifts(st) {
			part := StationPart{
				Lane: st.Lane, Row: st.Row, TurnDeg: st.Turn.Degrees(),
				Artwork: im.Job.Artworks[art].File, Page: im.Pages[art].Number,
				TrimPt: press.BoxPoints(st.Trim.Moved(move), im.Layout.Repeat),
				ClipPt: press.BoxPoints(st.Clip.Moved(move), im.Layout.Repeat),
			}
			if im.Layout.Shaped {
				part.ClipShape, part.ClipPath = "outline", im.pathPart(places[0].Clip)
			}
			places = places[1:]
			if move == (geometry.Size{}) {
				s.Stations = append(s.Stations, part)
			} else {
				s.Seam = append(s.Seam, part)
			}
		}
	}
}

// fileName names a file for the summary.
func (im *Imposition) fileName(path string) string {
	if im.FileName != nil && !im.files.rooted[path] {
		path = im.FileName(path)
	}
	return filepath.ToSlash(path)
}

// fileParts names every file with its SHA-256.
func (im *Imposition) fileParts() ([]FilePart, error) {
	parts := []FilePart{}
	for _, path := range im.files.order {
		sum, err := im.files.sums[path]()
		if err != nil {
			return nil, err
		}
		parts = append(parts, FilePart{"artwork", im.fileName(path), sum})
	}
	return append(parts, im.wrote...), nil
}
