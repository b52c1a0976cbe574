package impose

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/artwork"
)

// sizeTolerance is how far an artwork's trim may be from the label's: what a
// die may differ from a job by, common practice, no source.
const sizeTolerance = 50 * geometry.Micrometre

// checkSizes refuses artworks whose TrimBox is not their label: their own, or
// else the one given.
func checkSizes(in *Sources, shared geometry.Size) (said remarks, err error) {
	for i, p := range in.Pages {
		size, label := p.Size(), shared
		if own := in.Job.Artworks[i].Label; own != (geometry.Size{}) {
			label = own
		}
		if near(size.Across, label.Across) && near(size.Around, label.Around) {
			continue
		}
		if p.Boxes.Given.Trim {
			return said, &artwork.Error{Path: p.File.Path, Page: p.Number, Err: &sizeError{size, label}}
		}
		said.warn("trim-missing", "%s has no TrimBox; the label of %s is taken from the middle of its page of %s",
			in.Job.Artworks[i].File, label, size)
	}
	return said, nil
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
