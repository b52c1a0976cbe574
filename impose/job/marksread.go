package job

import "quoin/geometry"

var markKeys = []field[Marks]{
	{key: "register", read: func(m *Marks, v value) { readSwitch(v, &m.Register.On, &m.Register, registerKeys) }},
	{key: "eye", read: func(m *Marks, v value) { readOptional(v, &m.Eye, DefaultEyeMark(), eyeKeys) }},
	{key: "slit", read: func(m *Marks, v value) { v.flag(&m.Slit) }},
	{key: "centre", read: func(m *Marks, v value) { v.flag(&m.Centre) }},
	{key: "trim", read: func(m *Marks, v value) { v.flag(&m.Trim) }},
	{key: "slug", read: func(m *Marks, v value) { v.flag(&m.Slug) }},
}

var registerKeys = []field[Register]{
	{key: "size", read: func(r *Register, v value) { v.length(&r.Size, positive) }},
	{key: "line", read: func(r *Register, v value) { v.length(&r.Line, positive) }},
}

var eyeKeys = []field[EyeMark]{
	{key: "size", read: func(e *EyeMark, v value) { v.size(&e.Size, positive) }},
	{key: "ink", read: func(e *EyeMark, v value) { v.str(&e.Ink) }},
	{key: "side", read: func(e *EyeMark, v value) { oneOf(v, &e.Side, Left, Right) }},
	{key: "offset", read: func(e *EyeMark, v value) { v.length(&e.Offset, notNegative) }},
	{key: "every", read: func(e *EyeMark, v value) { oneOf(v, &e.Every, EveryRow, EveryFrame) }},
	{key: "track", read: func(e *EyeMark, v value) { v.length(&e.Track, positive) }},
}

var targetKeys = []field[Targets]{
	{key: "patch", read: func(t *Targets, v value) { v.size(&t.Patch, positive) }},
	{key: "tints", read: readTints},
	{key: "grey", read: func(t *Targets, v value) { v.flag(&t.Grey) }},
	{key: "overprints", read: func(t *Targets, v value) { v.flag(&t.Overprints) }},
	{key: "along", read: func(t *Targets, v value) { v.flag(&t.Along) }},
	{key: "side", read: func(t *Targets, v value) { oneOf(v, &t.Side, Left, Right, Both) }},
	{key: "aperture", read: func(t *Targets, v value) { v.length(&t.Aperture, positive) }},
	{key: "on-white", read: func(t *Targets, v value) { v.flag(&t.OnWhite) }},
	{key: "three-inks", read: func(t *Targets, v value) { v.flag(&t.ThreeInks) }},
	{key: "lanes", read: func(t *Targets, v value) { v.flag(&t.Lanes) }},
}

func readTints(t *Targets, v value) {
	t.Tints = nil
	v.each(func(item value) {
		var s geometry.Share
		if item.share(&s, geometry.Percent, 99*geometry.Percent); s > 0 {
			t.Tints = append(t.Tints, s)
		}
	})
}
