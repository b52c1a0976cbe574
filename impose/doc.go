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
// summary, and [Rank] how serious a warning is; [TookFrom] says what a job took
// from house files. Labels that all differ begin with [Imposition.Records] and
// [Imposition.Vary], whose journal is kept by [Imposition.Identity].
//
// Of what was planned, [LanesOf], [CutOnPage] and [Planned.LabelSize] tell about
// one artwork. [Rework] plans once more with the lanes in another order, and
// artworks stay open from one plan to the next on a [Shelf].
//
// What artworks look like is drawn elsewhere, and asked for here:
// [LookAtPlates], where [WantsPlates] says so, takes a [PlateLooker], and
// [Imposition.InkOnFrame] and [SurveyInk] take an [InkMeter].
//
// Without a frame, [SurveyArtworks] says what a job's artworks would bring to
// one, [PrintingInks] which inks of a list take a station, [UnderprintInks] which
// an underprint takes, [LabelOutline] which cut a job's label has, [TurnsAlike]
// whether that cut is the same when it is turned, and [Produce] what a run asks
// of the press room. [MatchDies] compares a label's outline with the dies of a
// library, and [DrawDifference] shows where it leaves one of them.
package impose
