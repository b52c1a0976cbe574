package impose

import (
	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/say"
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
			return said, &artwork.Error{Path: p.File.Path, Page: p.Number, Err: say.Refuse(say.Artwork,
				"artwork is never scaled: correct its TrimBox, or the label size of the job; where lanes are to differ in width, say the label of each artwork",
				"its TrimBox of %s is not the label of %s", size, label)}
		}
		said.warn(codeTrimMissing, "%s has no TrimBox; the label of %s is taken from the middle of its page of %s",
			in.Job.Artworks[i].File, label, size)
	}
	return said, nil
}

func near(a, b geometry.Length) bool { return max(a-b, b-a) <= sizeTolerance }
