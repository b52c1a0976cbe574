package job

import "quoin/geometry"

// Wish returns what the job wants of a die for a label of the size, printed with
// so many inks. It fails when the press has too few stations for the inks.
func (j *Job) Wish(label geometry.Size, inks int) (geometry.Wish, error) {
	terms, err := j.Terms(inks)
	if err != nil {
		return geometry.Wish{}, err
	}
	r := j.Request()
	w := geometry.Wish{
		Label: label, Shape: j.Shape, Outline: j.Outline, Radius: or(j.Radius, geometry.AnyRadius),
		Bleed: j.Bleed, Gap: j.Gap, Turns: r.Turns, Repeat: r.Repeat, Webs: Webs(j),
		Material: j.Material.Kind, Stripping: geometry.CommonStripping, EdgeMatrix: geometry.EdgeMatrix,
		Quantity: labelsOrdered(j), Terms: terms,
	}
	if p := j.Press; p != nil {
		w.Stations = p.Finishing.Stations
		w.Stripping = geometry.StrippingFor(p.Finishing.Stripping, j.Material.Kind)
		w.EdgeMatrix, w.UnusedLanes = p.Finishing.EdgeMatrix, p.Finishing.UnusedLanes
	}
	w.UnusedLanes = or(j.UnusedLanes, w.UnusedLanes)
	w.EdgeMatrix = or(j.EdgeMatrix, w.EdgeMatrix)
	if j.RadiusDrawn {
		w.Area = LabelArea(j, label)
	}
	return w, nil
}

// LabelArea returns the area of a label of the size in the job's shape. A radius
// that only the die or the artwork's die line knows is not counted.
func LabelArea(j *Job, label geometry.Size) float64 {
	if j.RadiusDrawn {
		return j.Shape.Area(label, 0)
	}
	return j.Shape.Area(label, or(j.Radius, 0))
}

// Webs returns the webs that the job may run on: the one it names, or else those
// that the press's stock holds, or else the widest that the press takes.
func Webs(j *Job) []geometry.Web {
	if j.WebWidth > 0 || j.Press == nil {
		return []geometry.Web{j.Web()}
	}
	if stock := StockWebs(j); len(stock) > 0 {
		return stock
	}
	return []geometry.Web{webOf(j, j.Press.WebMax)}
}

// StockWebs returns the webs in the press's stock; none means that it isn't known.
func StockWebs(j *Job) []geometry.Web {
	if j.Press == nil {
		return nil
	}
	var webs []geometry.Web
	for _, width := range j.Press.Webs {
		webs = append(webs, webOf(j, width))
	}
	return webs
}

// webOf returns a web of another width with the same margins.
func webOf(j *Job, width geometry.Length) geometry.Web {
	w := j.Web()
	w.Width = width
	return w
}

// labelsOrdered returns the labels of all artworks.
func labelsOrdered(j *Job) int64 {
	var n int64
	for _, a := range j.Artworks {
		n += a.Quantity
	}
	return n
}

// Tool returns the die that the job names; nil when it names none, or one that
// Validate refuses.
func (j *Job) Tool() *geometry.Die {
	if j.Dies == nil || j.Die == "" {
		return nil
	}
	return j.Dies.Find(j.Die)
}
