package job

import "quoin/geometry"

// gear reads the advance of a tooth. A die room has thousands of dies and a
// handful of gears, so each is worked out once.
func (v value) gear(x *geometry.Gear) {
	g, known := v.gears[v.text]
	if !known {
		if !parse(v, &g, geometry.ParseGear) {
			return
		}
		v.gears[v.text] = g
	}
	*x = g
}

// checkGear sees to it that teeth and pitch come together.
func (v value) checkGear() {
	const hint = "teeth and pitch belong together, as in 'teeth: 96' and 'pitch: 1/8in'"
	teeth, has := v.source.find("teeth")
	pitch, named := v.source.find("pitch")
	switch {
	case has && !named:
		v.reader.fault(teeth, "teeth", "teeth: are no length without a pitch", hint)
	case named && !has:
		v.reader.fault(pitch, "pitch", "pitch: is no length without teeth", hint)
	}
}
