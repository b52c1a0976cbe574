package impose

import (
	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/geometry/outline/nest"
	"quoin/impose/job"
	"quoin/impose/say"
)

// layNested lays shaped labels as close as their outlines allow.
func layNested(j *job.Job, r geometry.Request, cut outline.Outline) (best *nest.Arrangement, said remarks, err error) {
	request := nest.Request{Web: r.Web, Shape: cut, Gap: r.Gap, Bleed: r.Bleed, Repeat: r.Repeat, Turns: job.NestTurns(j)}
	if j.NestApart {
		request.Seam = nest.Apart
	}
	found, err := nest.Plan(request)
	if err != nil {
		return nil, said, err
	}
	best = found.Best()
	if j.Mirror && best.Layout.Shaped {
		return nil, said, say.Refuse(say.NotFit, "print on the first surface, or lay them in a straight grid",
			"labels that reach into each other's boxes can't be laid for the second surface: their mirrored outlines may fit otherwise")
	}
	said.note(codeNested, "%s", found.Compare(best))
	if s := best.Slitting; !s.Straight {
		said.warn(codeSlitting, "%s", s.Text)
	}
	if n := best.Turned(); n > 0 {
		said.warn(codeTurnedLabels, "%d of %d labels stand upside down against the others, and lead with the other edge on their rolls: "+
			"say the winding, or nest-upright, where that matters", n, best.Layout.Labels())
	}
	said.note(codeSeam, "%s", best.Seam())
	return best, said, nil
}

// straightSlit reports whether every lane can be slit on its own; nil is a
// straight grid.
func straightSlit(a *nest.Arrangement) bool { return a == nil || a.Slitting.Straight }
