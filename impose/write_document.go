package impose

import (
	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/press"
)

// document gathers what a document of the frame is begun with.
func (im *Imposition) document() press.Setup {
	setup := press.Setup{
		Info:     press.Info{Title: title(im.Job), Date: dateOf(im.Sources), Trapped: trapped(allPages(im.Sources)), Conforms: len(im.breaches) == 0},
		Artworks: allPages(im.Sources),
		Costs:    im.costs,
		Names:    im.names.odd(),
		Renames:  im.names.renames(),
		Bare:     bareInks(im.Sources),
		Shared:   im.names.shared(),
		Blend:    blend(im.Pages),
		Intent:   im.intent,
		Mirror:   im.Job.Mirror,
	}
	for _, e := range im.Inks.Inks {
		setup.Inks = append(setup.Inks, e.Ink)
	}
	return setup
}

// title is the job's name, or else that of its first artwork.
func title(j *job.Job) string {
	if j.Name != "" {
		return j.Name
	}
	return bareName(j.Artworks[0].File)
}

// trapped reports whether all artworks say that they are.
func trapped(pages []*artwork.Page) bool {
	for _, p := range pages {
		if !p.File.Trapped() {
			return false
		}
	}
	return true
}

// blend takes DeviceCMYK where the page group of an artwork blends in it. In any
// other space, the frame would convert the process inks of its own targets and
// marks on their way to the plates; artworks that blend in another space keep
// it in a group of their own.
func blend(pages []*artwork.Page) press.Blend {
	for _, p := range pages {
		if p.Doc.Name(p.Group["CS"]) == "DeviceCMYK" {
			return press.Blend{From: p}
		}
	}
	return press.Blend{}
}
