package impose

import (
	"context"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/geometry/outline/nest"
	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/mark"
	"quoin/impose/press"
)

// Imposition is a job worked out: its frame is ready to be written, looked at
// and summed up. It holds its artwork files open until Close.
type Imposition struct {
	Job     *job.Job
	Pages   []*artwork.Page // one for each artwork of the job
	Layout  *geometry.Layout
	Lanes   []int // artwork by lane, the first lane at the left; -1 is blank, MixedLane several
	Places  []int // artwork by station of the layout; -1 is blank
	Inks    *ink.Table
	Frame   draw.Frame   // as it is seen: for the second surface, the press mirrors it
	Patches []mark.Patch // on the printed face
	// FileName, when set, gives the name of a file for the summary, which otherwise
	// names files as seen from the working folder. Artworks that the job names
	// from the root keep that name.
	FileName func(path string) string

	upright  outline.Outline   // of the upright label, its box at the origin
	cuts     []outline.Outline // of the lanes' upright labels, where they differ in width; nil where not
	nested   *nest.Arrangement // nil for a straight grid
	perRoll  []int64           // labels on a finished roll of each artwork; 0: not said
	files    *sources
	names    inkNames
	intent   press.Intent
	track    geometry.Box // of the eye mark; empty without one
	eyes     []geometry.Box
	warnings []Warning
	notes    []Warning // good to know
	wrote    []FilePart
	breaches []BreachPart // what stands in the way of the PDF/X-4 marker
	pages    int          // frames that were written to the PDF
}

// Open reads the job's artworks and works out its frame. An error about an
// artwork is an *ArtworkError; one about the layout a *geometry.NotFitError or
// a *LaneError.
func Open(ctx context.Context, j *job.Job) (*Imposition, error) {
	im := &Imposition{Job: j, files: newSources(ctx, j)}
	if err := im.open(); err != nil {
		im.Close()
		return nil, err
	}
	return im, nil
}

func (im *Imposition) open() error {
	for _, step := range []func() error{
		im.refuseMixUps, im.readArtworks, im.tableInks, im.addWhites, im.takeIntent, im.plan, im.compose, im.readiness,
	} {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// Close closes the artwork files.
func (im *Imposition) Close() error { return im.files.close() }

// Inputs gives the paths of all files that the imposition reads.
func (im *Imposition) Inputs() []string { return slices.Concat(im.files.paths(), im.Job.Files()) }

// Wrote adds a written file to the summary.
func (im *Imposition) Wrote(role, path, sha256 string) {
	im.wrote = append(im.wrote, FilePart{role, path, sha256})
}

func (im *Imposition) warn(code, text string, args ...any) {
	im.warnings = append(im.warnings, Warning{code, fmt.Sprintf(text, args...)})
}

// refuseMixUps keeps drug labels off shared frames. 21 CFR 211.122(f)
// prohibits gang-printed labeling for different drug products, strengths or
// net contents unless adequately differentiated by size, shape or color; the
// customer's quality unit and the local law decide, not this program. A label
// that has its frame to itself is warned of, so that nobody misses what it is.
func (im *Imposition) refuseMixUps() error {
	for _, a := range im.Job.Artworks {
		if a.DrugLabel {
			im.warn("drug-label", "DRUG LABEL: %s", job.DrugLabelRun)
			break
		}
	}
	if len(im.Job.Artworks) < 2 {
		return nil
	}
	for _, a := range im.Job.Artworks {
		if a.DrugLabel {
			return &LaneError{
				fmt.Sprintf("%s is a drug label and shares the frame with other products", a.File),
				"run it alone: gang-printed labeling for different drug products is restricted (21 CFR 211.122(f)); ask your quality unit",
			}
		}
	}
	return nil
}

// plan lays out the frame and gives the lanes their artworks.
func (im *Imposition) plan() error {
	request := im.Job.Request()
	if !im.Job.TargetLaneGiven() {
		// An eye mark's track must not take the room of register marks and targets.
		request.Web.TargetLane = max(request.Web.TargetLane, im.markOptions().Lane())
	}
	if request.Label == (geometry.Size{}) {
		request.Label = im.Pages[0].Size()
	}
	if request.Lanes == 0 {
		request.Lanes = lanesWanted(im.Job.Artworks)
	}
	if err := im.checkSizes(request.Label); err != nil {
		return err
	}
	if im.Job.LanesDiffer() {
		return im.planLanes(request)
	}
	request.Area = im.Job.LabelArea(request.Label)
	layout, err := im.layOut(request)
	if err != nil {
		return err
	}
	im.Layout = layout
	if im.upright, err = im.labelOutline(request.Label); err != nil {
		return err
	}
	if d := im.Job.Tool(); im.Job.Shape == geometry.ShapeOutline || d != nil && d.Shape == geometry.ShapeOutline {
		layout.Area = im.upright.Area()
	}
	if err := im.share(); err != nil {
		return err
	}
	return im.settle()
}

// settle says what a layout means for bleed and rolls.
func (im *Imposition) settle() error {
	layout := im.Layout
	if room, clipped := layout.BleedClipped(); clipped {
		im.warn("bleed-clipped", "the gaps leave %s of bleed between lanes and %s between rows, not %s: each label's bleed ends at the middle of the gap",
			room.Across, room.Around, layout.Bleed)
	}
	return im.labelsPerRoll()
}

// layOut takes the grid from the job's die, or finds the one with the most
// labels.
func (im *Imposition) layOut(r geometry.Request) (*geometry.Layout, error) {
	if d := im.Job.Tool(); d != nil {
		return im.layOnDie(d, r)
	}
	if im.Job.Nest {
		return im.layNested(r)
	}
	return geometry.Plan(r)
}

// sizeTolerance is how far an artwork's trim may be from the label's: what a
// die may differ from a job by, common practice, no source.
const sizeTolerance = 50 * geometry.Micrometre

// checkSizes refuses artworks whose TrimBox is not their label: their own, or
// else the one given.
func (im *Imposition) checkSizes(shared geometry.Size) error {
	for i, p := range im.Pages {
		size, label := p.Size(), shared
		if own := im.Job.Artworks[i].Label; own != (geometry.Size{}) {
			label = own
		}
		if near(size.Across, label.Across) && near(size.Around, label.Around) {
			continue
		}
		if !p.Boxes.Given.Trim {
			im.warn("trim-missing", "%s has no TrimBox; the label of %s is taken from the middle of its page of %s",
				im.Job.Artworks[i].File, label, size)
			continue
		}
		return &artwork.Error{Path: p.File.Path, Page: p.Number, Err: &sizeError{size, label}}
	}
	return nil
}

func near(a, b geometry.Length) bool { return max(a-b, b-a) <= sizeTolerance }

// sizeError says that an artwork is not the label that was asked for.
type sizeError struct{ trim, label geometry.Size }

func (e *sizeError) Error() string {
	return fmt.Sprintf("its TrimBox of %s is not the label of %s", e.trim, e.label)
}

func (e *sizeError) Hint() string {
	return "artwork is never scaled: correct its TrimBox, or the label size of the job; where lanes are to differ in width, say the label of each artwork"
}
