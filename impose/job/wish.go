package job

import "quoin/geometry"

// Wish gives what the job wants of a die for a label of the size, printed with
// so many inks. It fails when the press has too few stations for the inks.
func (q Question) Wish(label geometry.Size, inks int) (geometry.Wish, error) {
	terms, err := q.Terms(inks)
	if err != nil {
		return geometry.Wish{}, err
	}
	r := q.Request()
	w := geometry.Wish{
		Label: label, Shape: q.job.Shape, Outline: q.job.Outline, Radius: or(q.job.Radius, geometry.AnyRadius),
		Bleed: q.job.Bleed, Gap: q.job.Gap, Turns: r.Turns, Repeat: r.Repeat, Webs: q.job.Supply().Webs(),
		Material: q.job.Material.Kind, Stripping: geometry.CommonStripping, EdgeMatrix: geometry.EdgeMatrix,
		Quantity: q.job.Labels().sum(), Terms: terms,
	}
	if p := q.job.Press; p != nil {
		w.Stations = p.Finishing.Stations
		w.Stripping = geometry.StrippingFor(p.Finishing.Stripping, q.job.Material.Kind)
		w.EdgeMatrix, w.UnusedLanes = p.Finishing.EdgeMatrix, p.Finishing.UnusedLanes
	}
	w.UnusedLanes = or(q.job.UnusedLanes, w.UnusedLanes)
	w.EdgeMatrix = or(q.job.EdgeMatrix, w.EdgeMatrix)
	if q.job.RadiusDrawn {
		w.Area = q.job.Labels().Area(label)
	}
	return w, nil
}

// Area gives the area of a label of the size in the job's shape. A radius
// that only the die or the artwork's die line knows is not counted.
func (b Labels) Area(label geometry.Size) float64 {
	if b.job.RadiusDrawn {
		return b.job.Shape.Area(label, 0)
	}
	return b.job.Shape.Area(label, or(b.job.Radius, 0))
}

// Webs gives the webs that the job may run on: the one it names, or else those
// that the press's stock holds, or else the widest that the press takes.
func (p Supply) Webs() []geometry.Web {
	if p.job.WebWidth > 0 || p.job.Press == nil {
		return []geometry.Web{p.job.Web()}
	}
	if stock := p.Stock(); len(stock) > 0 {
		return stock
	}
	return []geometry.Web{p.of(p.job.Press.WebMax)}
}

// Stock gives the webs in the press's stock; none means that it isn't known.
func (p Supply) Stock() []geometry.Web {
	if p.job.Press == nil {
		return nil
	}
	var webs []geometry.Web
	for _, width := range p.job.Press.Webs {
		webs = append(webs, p.of(width))
	}
	return webs
}

// of gives a web of another width with the same margins.
func (p Supply) of(width geometry.Length) geometry.Web {
	w := p.job.Web()
	w.Width = width
	return w
}

// sum gives the labels of all artworks.
func (b Labels) sum() int64 {
	var n int64
	for _, a := range b.job.Artworks {
		n += a.Quantity
	}
	return n
}

// Tool gives the die that the job names; nil when it names none, or one that
// Validate refuses.
func (j *Job) Tool() *geometry.Die {
	if j.Dies == nil || j.Die == "" {
		return nil
	}
	return j.Dies.Find(j.Die)
}
