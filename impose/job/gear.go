package job

import "quoin/geometry"

// gear reads the advance of a tooth. A die room has thousands of dies and a
// handful of gears, so each is worked out once.
func (v value) gear(x *geometry.Gear) {
	g, known := v.reader.gears[v.text]
	if !known {
		if !parse(v, &g, geometry.ParseGear) {
			return
		}
		v.reader.gears[v.text] = g
	}
	*x = g
}

// checkGear sees to it that teeth and pitch come together.
func checkGear(r *reader, s *source) {
	const hint = "teeth and pitch belong together, as in 'teeth: 96' and 'pitch: 1/8in'"
	teeth, has := s.find("teeth")
	pitch, named := s.find("pitch")
	switch {
	case has && !named:
		r.fault(teeth, "teeth", "are no length without a pitch", hint)
	case named && !has:
		r.fault(pitch, "pitch", "is no length without teeth", hint)
	}
}
