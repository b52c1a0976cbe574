package impose

import (
	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/geometry/outline/nest"
	"quoin/impose/say"
)

// layNested lays shaped labels as close as their outlines allow.
func layNested(r geometry.Request, cut outline.Outline, mirrored bool) (best *nest.Arrangement, said remarks, err error) {
	found, err := nest.Plan(nest.Request{
		Web: r.Web, Shape: cut, Gap: max(r.Gap.Across, r.Gap.Around), Bleed: r.Bleed, Repeat: r.Repeat, Turns: r.Turns,
	})
	if err != nil {
		return nil, said, err
	}
	best = found.Best()
	if mirrored && best.Layout.Shaped {
		return nil, said, say.Refuse(say.NotFit, "print on the first surface, or lay them in a straight grid",
			"labels that reach into each other's boxes can't be laid for the second surface: their mirrored outlines may fit otherwise")
	}
	said.note(codeNested, "%s", found.Compare(best))
	if s := best.Slitting; !s.Straight {
		said.warn(codeSlitting, "%s", s.Text)
	}
	return best, said, nil
}

// straightSlit reports whether every lane can be slit on its own; nil is a
// straight grid.
func straightSlit(a *nest.Arrangement) bool { return a == nil || a.Slitting.Straight }
