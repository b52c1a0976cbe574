package impose

import (
	"cmp"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/geometry/outline/nest"
	"quoin/impose/job"
	"quoin/impose/say"
)

// Planned is where the labels stand: the second stage. All of it is as on the
// printed face.
type Planned struct {
	*Sources
	Layout *geometry.Layout
	Places []int // artwork by station of the layout; -1 is blank

	lanes   []int             // artwork by lane, the first lane at the left; -1 is blank, mixedLane several
	cuts    []outline.Outline // of the upright labels by lane, their boxes at the origin
	nested  *nest.Arrangement // nil for a straight grid
	perRoll []int64           // labels on a finished roll of each artwork; 0: not said
	knives  say.Notes         // where the slitter cuts: said before all else, since no run can be slit without it
	offLine []int             // artworks whose own die line is not what is cut, as was said
	said    remarks
}

// plan lays out the frame and gives its stations their artworks. An error about
// the layout is a *geometry.NotFitError or a refusal of the kind NotFit, one
// about the shape of the labels of the kind BadFile.
func plan(in *Sources) (*Planned, error) {
	request := layoutRequest(in)
	said, err := checkSizes(in, request.Label)
	if err != nil {
		return nil, err
	}
	lay := layAlike
	if job.LabelsDiffer(in.Job) {
		lay = layLanes
	}
	laid, err := lay(in, request)
	if err != nil {
		return nil, err
	}
	if err := turnLanes(in, &laid); err != nil {
		return nil, err
	}
	said.follow(laid.said)
	if room, clipped := laid.layout.BleedClipped(); clipped {
		said.warn(geometry.CodeBleedClipped, "the gaps leave %s of bleed between lanes and %s between rows, not %s: each label's bleed ends at the middle of the gap",
			room.Across, room.Around, laid.layout.Bleed)
	}
	told, err := holdDieLines(in, laid, &said)
	if err != nil {
		return nil, err
	}
	perRoll, found, err := labelsPerRoll(in.Job, laid.layout, straightSlit(laid.nested))
	if err != nil {
		return nil, err
	}
	said.follow(found)
	return &Planned{
		Sources: in, Layout: laid.layout, Places: laid.places, lanes: laid.lanes, cuts: laid.cuts, nested: laid.nested,
		perRoll: perRoll, knives: knives(laid.layout), offLine: told, said: said,
	}, nil
}

// holdDieLines holds the cut of every artwork's stations against its own die
// line. It returns the artworks whose line differs, which is told.
func holdDieLines(in *Sources, l laid, said *remarks) (told []int, err error) {
	held := make([]bool, len(in.Pages))
	for i, s := range l.layout.Station {
		art := l.places[i]
		if art < 0 || held[art] {
			continue
		}
		held[art] = true
		differs, err := holdDieLine(in, art, l.cuts[s.Lane-1], said)
		if err != nil {
			return nil, err
		}
		if differs && (in.Job.Tool() == nil || slices.Contains(l.differs, in.Job.Artworks[art].File)) {
			told = append(told, art)
		}
	}
	return told, nil
}

// laid is a layout with what stands on it.
type laid struct {
	layout        *geometry.Layout
	nested        *nest.Arrangement
	cuts          []outline.Outline
	lanes, places []int
	differs       []string // artworks whose die lines are not what the job's die cuts: it is warned of each
	said          remarks
}

// layoutRequest returns what the layout is asked for.
func layoutRequest(in *Sources) geometry.Request {
	request := in.Job.Request()
	if !in.Job.TargetLaneGiven() {
		// An eye mark's track must not take the room of register marks and targets.
		request.Web.TargetLane = max(request.Web.TargetLane, marksWanted(in.Job).Lane())
	}
	if request.Label == (geometry.Size{}) {
		request.Label = in.Pages[0].Size()
	}
	request.Lanes = cmp.Or(request.Lanes, lanesWanted(in.Job.Artworks))
	return request
}

// layAlike lays labels that are all of one size: on the job's die, as close as
// their outlines allow, or in the grid with the most of them.
func layAlike(in *Sources, r geometry.Request) (l laid, err error) {
	r.Area = job.LabelArea(in.Job, r.Label)
	var cut outline.Outline
	var found remarks
	switch d := in.Job.Tool(); {
	case d != nil:
		if l, err = layOnDie(in, d, r); err != nil {
			return l, err
		}
		cut, err = dieCut(in.Job, d, l.layout.Turn)
	case in.Job.Nest:
		if cut, l.said, err = labelCut(in, r.Label); err != nil {
			return l, err
		}
		l.nested, found, err = layNested(in.Job, r, cut)
		l.said.follow(found)
		if err == nil {
			l.layout = l.nested.Layout
		}
	default:
		if l.layout, err = geometry.Plan(r); err != nil {
			return l, err
		}
		cut, l.said, err = labelCut(in, r.Label)
	}
	if err != nil {
		return l, err
	}
	if d := in.Job.Tool(); in.Job.Shape == geometry.ShapeOutline || d != nil && d.Shape == geometry.ShapeOutline {
		l.layout.Area = cut.Area()
	}
	l.cuts = slices.Repeat([]outline.Outline{cut}, l.layout.Across)
	l.lanes, l.places, found, err = shareStations(in.Job.Artworks, l.layout)
	l.said.follow(found)
	return l, err
}

// CutOn returns the cut of the upright label that stands on a station, its box
// at the origin.
func (p *Planned) CutOn(s geometry.Station) outline.Outline { return p.cuts[s.Lane-1] }

// CutOnPage returns the cut of an artwork's label with the page's trim's leading
// left corner at the origin; empty where no station carries it.
func CutOnPage(p *Planned, art int) outline.Outline {
	i := slices.Index(p.Places, art)
	if i < 0 {
		return outline.Outline{}
	}
	page, label := p.Pages[art].Size(), p.LabelSize(art)
	return p.CutOn(p.Layout.Station[i]).Moved(geometry.Size{Across: (page.Across - label.Across) / 2, Around: (page.Around - label.Around) / 2})
}

// LabelSize returns the trim of an artwork's upright label.
func (p *Planned) LabelSize(artwork int) geometry.Size {
	if p.Layout.Widths != nil {
		return job.LabelOf(p.Job, artwork)
	}
	return p.Layout.Label.Turned(p.Layout.Turn)
}
