// Package impose turns a job into a frame and a summary: the one place that
// knows jobs, artworks, layouts, inks, marks and the press at once.
//
// [Open] works a job out in stages, each a value that the next one takes:
//
//	Sources     what was read: job, artwork pages, inks, printing condition
//	Planned     where the labels stand: layout, places, cuts, labels on a roll
//	Imposition  what was composed: the frame, its marks and patches
//	Written     what was written of it, which whoever writes files says
//
// The names of the files begin with their stage: read, plan, compose, write, and
// sum for the summary. A file uses nothing that a later stage declares. What
// stands in files without such a name is for all of them: face.go knows the
// second surface, white.go the underprint, intent.go the printing condition,
// drug.go drug labels.
//
// An imposition is written by [Imposition.WritePDF]; one label of it, for
// pictures, by [Imposition.Pictures]; the contours of its cut by
// [Imposition.WriteCuttingDXF] and [Imposition.WriteCuttingSVG].
// [Imposition.Summary] says what there is to say, in the words of package
// summary. Labels that all differ begin with [Imposition.Records] and
// [Imposition.Vary], whose journal is kept by [Imposition.Identity].
//
// Beside it, and without a frame: [SurveyArtworks] says what a job's artworks
// would bring to one, [PrintingInks] which inks of a list take a station,
// [LabelOutline] which cut a job's label has, and [Produce] what a run asks of
// the press room.
package impose
