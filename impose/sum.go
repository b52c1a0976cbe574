package impose

import (
	"path/filepath"

	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// Summary works out what there is to say, once something was written or not.
func (im *Imposition) Summary(w Written) (*summary.Summary, error) {
	inks := im.Inks.Stations()
	terms, err := im.Job.Terms(inks)
	if err != nil {
		return nil, err
	}
	demands := demands(im.Planned)
	if !job.Ordered(im.Job) {
		terms = oneFrame(terms)
	}
	changes := newChanges(im.Planned, demands, &terms)
	run, err := im.Layout.PlanRun(demands, terms)
	if err != nil {
		return nil, err
	}
	flexo, err := sumFlexo(im.Job.Flexo, im.Layout)
	if err != nil {
		return nil, err
	}
	production, err := sumProduction(im.Planned, run, terms)
	if err != nil {
		return nil, err
	}
	artworks, lanes := sumProducts(im.Planned, w, run.Frames, demands)
	totals := sumRun(run, orderedLabels(im.Job), terms, inks)
	changes.take(im.Planned, artworks, lanes, &totals)
	rolls, err := sumRolls(im.Planned, lanes)
	if err != nil {
		return nil, err
	}
	trim(im.Job, artworks, rolls, &totals)
	files, err := sumFiles(im.Job, im.files, w)
	if err != nil {
		return nil, err
	}
	uses := inkUse(im, w.Ink, run.Frames)
	priceInk(production, uses, run.Ordered)
	stations, seam := sumStations(im)
	said := sumRemarks(im, w, flexo)
	said.follow(risks(artworks, rolls, production, terms.Overs))
	said.warnings = ranked(said.warnings)
	return &summary.Summary{
		Schema: summary.Schema, Job: im.Job.Name, House: TookFrom(im.Job, w),
		Layout: sumLayout(im.Planned), Die: sumDie(im.Job.Tool(), im.Layout), Winding: sumWinding(im.Job, im.Layout), Flexo: flexo,
		Run: totals, Thousand: sumThousand(im.Job, run, im.Layout.Web.Width), Production: production, Inks: sumInks(im.Sources), InkUse: uses,
		Artworks: artworks, Lanes: lanes, Rolls: rolls, Cut: sumCut(im.Planned), Stations: stations, Seam: seam, Targets: sumTargets(im), Marks: im.Marks, RIP: im.RIP,
		Written: sumWritten(im, w), Warnings: said.warnings, Notes: said.notes, Files: files,
	}, nil
}

// sumRemarks returns what the stages say, then what is to be said of what was
// written and of the summary itself.
func sumRemarks(im *Imposition, w Written, flexo *summary.Flexo) remarks {
	all := remarks{warnings: say.Notes{}, notes: say.Notes{}}
	all.follow(im.remarks())
	all.warnings = append(all.warnings, w.Warnings...)
	switch n := len(im.Job.Fields); {
	case w.Pages == 0:
	case n > 0:
		all.warn(codeFieldsLeftOut, "the frame is written without the job's %s: print the records with quoin vary", say.Count(n, "field"))
	case im.Job.Data != nil:
		all.warn(codeFieldsLeftOut, "the frame is written without the job's data: print the records with quoin vary")
	}
	for i, list := range w.Plates {
		for _, f := range list {
			all.found(f, pageName(im.Job.Artworks[i], im.Pages[i])+": "+f.Text)
		}
	}
	if flexo != nil && flexo.WalkMM > 0 {
		all.warn(codeFlexoWalk, "the frame is no whole number of the flexo unit's repeats of %s: print and plate drift apart by %s with every frame",
			say.MM(flexo.RepeatMM), say.MM(flexo.WalkMM))
	}
	return all
}

func sumInks(in *Sources) []summary.Ink {
	list := []summary.Ink{}
	for _, e := range in.Inks.Inks {
		list = append(list, summary.Ink{Name: e.Name, Kind: string(e.Kind), Idle: e.Idle != ""})
	}
	return list
}

// fileName names an artwork's file for the summary.
func fileName(read *artworkFiles, w Written, path string) string {
	if w.Name != nil && !read.rooted[path] {
		path = w.Name(path)
	}
	return filepath.ToSlash(path)
}

// sumFiles names every file with its SHA-256, those that were read first.
func sumFiles(j *job.Job, read *artworkFiles, w Written) ([]summary.File, error) {
	list := []summary.File{}
	for _, t := range j.Took {
		if len(t.Keys) > 0 {
			list = append(list, summary.File{Role: "house", Path: housePath(t, w), SHA256: t.SHA256})
		}
	}
	for _, path := range read.order {
		sum, err := read.sums[path]()
		if err != nil {
			return nil, err
		}
		list = append(list, summary.File{Role: "artwork", Path: fileName(read, w, path), SHA256: sum})
	}
	return append(list, w.Files...), nil
}
