package job

import "quoin/geometry"

func (v value) gear(x *geometry.Gear) { parse(v, x, geometry.ParseGear) }

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
