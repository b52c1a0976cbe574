package impose

import (
	"quoin/impose/artwork"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// Written is what was written of an imposition: the last stage, of which only
// those who write files know. Its zero value says that nothing was.
type Written struct {
	Pages int            // frames in the PDF
	Files []summary.File // in the order in which they were written
	// Proved says that the PDF was proved against its summary before it appeared.
	Proved bool
	// Ink, when measured, is what stands on a frame, as InkOnFrame gives it.
	Ink map[string]float64
	// Plates, when they were looked at, are what was found on each artwork's, in
	// the job's order.
	Plates [][]artwork.Finding
	// Name, when set, returns what the summary calls an artwork's file, which it
	// otherwise names as seen from the working folder. Artworks that the job names
	// from the root keep that name.
	Name func(path string) string
	// Warnings are what others found on what was imposed.
	Warnings []say.Note
}

// remarks gathers what all stages have to say, in their order.
func (im *Imposition) remarks() remarks {
	var all remarks
	all.follow(remarks{warnings: im.knives})
	sources := im.Sources.said
	sources.warnings = withoutFindings(sources.warnings, im.Sources, im.offLine)
	for _, stage := range []remarks{sources, im.Planned.said, im.said} {
		all.follow(stage)
	}
	return all
}
