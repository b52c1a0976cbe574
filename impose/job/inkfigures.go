package job

import "go.yaml.in/yaml/v4"

// InkFigures give a number for each ink: one for all, and others by an ink's
// name or by its kind, as in {all: 1.2g/m2, white: 2.5g/m2, Quince Gold: 1.4g/m2}.
type InkFigures struct {
	All float64
	By  map[string]float64 // by name or kind
}

// Known reports whether any ink has a figure.
func (f InkFigures) Known() bool { return f.All > 0 || len(f.By) > 0 }

// Of returns the figure of an ink: its own, its kind's, or that of all. It is 0
// where none is known.
func (f InkFigures) Of(name, kind string) float64 {
	for _, key := range []string{name, kind} {
		if v, ok := f.By[key]; ok {
			return v
		}
	}
	return f.All
}

// everyInk is the key of the figure that all inks have which have none of their own.
const everyInk = "all"

// inkFigures reads one figure for all inks, or a map of them.
func inkFigures(v value, f *InkFigures, read func(value, *float64)) {
	if v.node.Kind != yaml.MappingNode {
		read(v, &f.All)
		return
	}
	f.By = map[string]float64{}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		key, node := v.node.Content[i], v.node.Content[i+1]
		item := v.inner(joined(v.key, key.Value), node)
		item.note()
		var x float64
		read(item, &x)
		switch _, twice := f.By[key.Value]; {
		case twice || key.Value == everyInk && f.All > 0:
			item.fault("is given twice", "keep one of them")
		case key.Value == everyInk:
			f.All = x
		default:
			f.By[key.Value] = x
		}
	}
	if len(f.By) == 0 {
		f.By = nil
	}
}
