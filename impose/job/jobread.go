package job

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"quoin/geometry"
)

// ParseJob is ReadJob for a file that is in memory already, with a way of its own
// to the press and the dies that the job names: open reads a file of at most so
// many bytes. The path is for messages, and its folder for the files that the job
// names.
func (h Houses) ParseJob(path string, data []byte, open func(path string, most int64) ([]byte, error)) (*Job, error) {
	return h.parse(path, data, nil, open)
}

func (h Houses) parse(path string, data []byte, said []Said, open func(string, int64) ([]byte, error)) (*Job, error) {
	near := nearer{}
	if len(h) > 0 {
		near.text(data)
		near.flags(said)
	}
	ownRepeat := slices.ContainsFunc(repeatFlags, func(key string) bool { return near[key] != nil })
	j, err := h.start(filepath.Dir(path), near) // which adds to near what the houses say
	if err != nil {
		return nil, err
	}
	r := newReader(path, data)
	r.begin(&j.source, place{1, 1}, len(jobKeys))
	f := jobFile{Job: j, open: open, from: &j.source, dir: j.Dir}
	if ownRepeat {
		j.Repeat = Repeat{}
	}
	if root, ok := r.root(); ok {
		readMap(root, &f, jobKeys)
		f.check(root)
	}
	if err, ok := r.err().(*FileError); ok {
		j.faults = err.Faults
		return j, err
	}
	return j, nil
}

// loadRegular refuses pipes and devices, which a job file has no cause to name
// and which might never end.
func loadRegular(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, &os.PathError{Op: "open", Path: path, Err: os.ErrInvalid}
	}
	return load(path, most)
}

// jobFile is a job while it is read, with the way to the files that it names.
type jobFile struct {
	*Job
	open  func(string, int64) ([]byte, error)
	from  *source // of the file
	dir   string  // its folder
	house bool    // it is a house file
}

var jobKeys = []field[jobFile]{
	{key: "name", read: func(j *jobFile, v value) { v.str(&j.Name) }},
	{key: "date", read: func(j *jobFile, v value) { v.day(&j.Date) }},
	{key: "press", read: func(j *jobFile, v value) { readNamed(j, v, &j.Press, "press file", maxJobBytes, ParsePress) }},

	{key: "web", read: func(j *jobFile, v value) { v.length(&j.WebWidth, positive) }},
	{key: "edge", read: func(j *jobFile, v value) { v.maybeLength(&j.Edge, notNegative) }},
	{key: "target-lane", read: func(j *jobFile, v value) { v.maybeLength(&j.TargetLane, notNegative) }},
	{key: "material", read: func(j *jobFile, v value) { readMap(v, &j.Material, materialKeys) }},

	{key: "label", read: func(j *jobFile, v value) { v.size(&j.Label, positive) }},
	{key: "shape", read: func(j *jobFile, v value) {
		oneOf(v, &j.Shape, geometry.ShapeRectangle, geometry.ShapeCircle, geometry.ShapeEllipse, geometry.ShapeOutline)
	}},
	{key: "outline", read: func(j *jobFile, v value) { v.str(&j.Outline) }},
	{key: "outline-layer", read: func(j *jobFile, v value) { v.str(&j.OutlineLayer) }},
	{key: "ignore-die-line", read: func(j *jobFile, v value) { v.flag(&j.IgnoreDieLine) }},
	{key: "nest", read: func(j *jobFile, v value) { v.flag(&j.Nest) }},
	{key: "nest-upright", read: func(j *jobFile, v value) { v.flag(&j.NestUpright) }},
	{key: "nest-apart", read: func(j *jobFile, v value) { v.flag(&j.NestApart) }},
	{key: "cutting", read: func(j *jobFile, v value) { v.flag(&j.Cutting) }},
	{key: "radius", read: func(j *jobFile, v value) { v.maybeLength(&j.Radius, notNegative) }},
	{key: "gap", read: func(j *jobFile, v value) { v.size(&j.Gap, notNegative) }},
	{key: "bleed", read: func(j *jobFile, v value) { v.length(&j.Bleed, notNegative) }},
	{key: "from-cut", read: func(j *jobFile, v value) { v.maybeLength(&j.FromCut, notNegative) }},
	{key: "turn", read: func(j *jobFile, v value) { readTurns(v, &j.Turns) }},
	{key: "frame-max", read: func(j *jobFile, v value) { v.length(&j.Repeat.Longest, positive) }},
	{key: "repeat", read: func(j *jobFile, v value) { v.length(&j.Repeat.Fixed, positive) }},
	{key: "teeth", read: func(j *jobFile, v value) { count(v, &j.Repeat.Teeth, 1, maxTeeth) }},
	{key: "pitch", read: func(j *jobFile, v value) { v.gear(&j.Repeat.Gear) }},
	{key: "dies", read: func(j *jobFile, v value) { readNamed(j, v, &j.Dies, "die library", maxListBytes, ParseDies) }},
	{key: "die", read: func(j *jobFile, v value) { v.str(&j.Die) }},
	{key: "edge-matrix", read: func(j *jobFile, v value) { v.maybeLength(&j.EdgeMatrix, notNegative) }},
	{key: "unused-lanes", read: func(j *jobFile, v value) { optional(&j.UnusedLanes, v.flag) }},
	{key: "lanes", read: func(j *jobFile, v value) { count(v, &j.Lanes, 1, maxPlaces) }},
	{key: "rows", read: func(j *jobFile, v value) { count(v, &j.Rows, 1, maxPlaces) }},
	{key: "shift", read: func(j *jobFile, v value) { v.length(&j.Shift, anySign) }},
	{key: "second-surface", read: func(j *jobFile, v value) { v.flag(&j.Mirror) }},

	{key: "artworks", read: func(j *jobFile, v value) { readArtworks(v, &j.Artworks, &j.source.entries) }},
	{key: "permitted-by", read: func(j *jobFile, v value) { v.str(&j.PermittedBy) }},
	{key: "long-content", read: func(j *jobFile, v value) { v.flag(&j.LongContent) }},

	{key: "marks", read: func(j *jobFile, v value) { readMap(v, &j.Marks, markKeys) }},
	{key: "targets", read: func(j *jobFile, v value) { readSwitch(v, &j.Targets.On, &j.Targets, targetKeys) }},
	{key: "inks", read: func(j *jobFile, v value) { readMap(v, &j.Inks, inkKeys) }},
	{key: "output-intent", read: func(j *jobFile, v value) { readMap(v, &j.Output, outputKeys) }},

	{key: "setup", read: func(j *jobFile, v value) { v.maybeLength(&j.Run.Setup, notNegative) }},
	{key: "setup-time", read: func(j *jobFile, v value) { optional(&j.Run.SetupMin, func(x *float64) { minutes.read(v, x) }) }},
	{key: "run-waste", read: func(j *jobFile, v value) { maybeShare(v, &j.Run.RunWaste) }},
	{key: "overs", read: func(j *jobFile, v value) { maybeShare(v, &j.Run.Overs) }},
	{key: "speed", read: func(j *jobFile, v value) { maybe(v, &j.Run.Speed, parseSpeed) }},

	{key: "winding", read: func(j *jobFile, v value) { maybe(v, &j.Winding, geometry.ParseWinding) }},
	{key: "windings", read: func(j *jobFile, v value) { count(v, &j.Windings, 1, maxWindings) }},
	{key: "roll", read: func(j *jobFile, v value) { readMap(v, &j.Roll, rollKeys) }},

	{key: "flexo", read: func(j *jobFile, v value) { optional(&j.Flexo, func(f *FlexoUnit) { readMap(v, f, flexoKeys) }) }},

	{key: "data", read: func(j *jobFile, v value) { optional(&j.Data, func(d *Data) { readMap(v, d, dataKeys) }) }},
	{key: "fields", read: func(j *jobFile, v value) { readFields(&j.Fields, v) }},

	{key: "orders", read: func(j *jobFile, v value) { readMap(v, &j.Orders, orderFormKeys) }},
}

// Limits that no real tool comes near: they keep products of counts small.
const (
	maxTeeth    = 10_000
	maxPlaces   = 10_000
	maxQuantity = 1_000_000_000_000
)

// check compares what several keys say.
func (j *jobFile) check(v value) {
	checkGear(v.reader, v.reader.source)
	if _, said := j.from.find("shape"); j.Outline != "" && !said {
		j.Shape = geometry.ShapeOutline
	}
	rules := 0
	for _, key := range []string{"frame-max", "repeat", "teeth"} {
		if at, ok := j.from.find(key); ok {
			if rules++; rules > 1 {
				v.reader.fault(at, key, "the frame's length is already said",
					"keep one of frame-max, repeat and teeth")
			}
		}
	}
}

// readNamed reads a file that the job names beside itself.
func readNamed[T any](j *jobFile, v value, x *T, what string, most int64, parse func(path string, data []byte) (T, error)) {
	var file string
	if v.str(&file); file == "" {
		return
	}
	path := beside(filepath.Join(j.dir, "job"), file)
	data, err := j.open(path, most)
	if err != nil {
		kind := "job"
		if j.house {
			kind = "house"
		}
		v.fault("can't read the "+what+": "+err.Error(), "paths are relative to the "+kind+" file's folder")
		return
	}
	*x, err = parse(path, data)
	if e, ok := err.(*FileError); ok {
		v.reader.faults = append(v.reader.faults, e.Faults...)
	}
}

// readTurns reads one turn, a list of them, or auto, which leaves none.
func readTurns(v value, x *[]geometry.Turn) {
	*x = nil
	add := func(item value) {
		var t geometry.Turn
		parse(item, &t, parseTurn)
		*x = append(*x, t)
	}
	switch {
	case v.text == "auto":
		*x = AutoTurns()
	case v.isList():
		v.each(add)
	default:
		add(v)
	}
}

// artworkEntry is one entry of the list: an artwork, or several pages of one.
type artworkEntry struct {
	Artwork
	pages []int
}

func readArtworks(v value, x *[]Artwork, entries *[]int) {
	n := 0
	v.each(func(item value) {
		a := artworkEntry{Artwork: Artwork{Page: 1}}
		item.note()
		readMap(item, &a, artworkKeys)
		for i := range max(1, len(a.pages)) {
			*x = append(*x, a.page(i, item))
			*entries = append(*entries, n)
		}
		n++
	})
}

// page returns one artwork of an entry: pages stand on neighbouring lanes, each
// with the entry's quantity and number of lanes; listed lanes are dealt out to
// them in turn.
func (a *artworkEntry) page(i int, v value) Artwork {
	one := a.Artwork
	if len(a.pages) == 0 {
		return one
	}
	one.Page, one.LaneList = a.pages[i], nil
	if len(a.LaneList)%len(a.pages) != 0 && i == 0 {
		v.fault(fmt.Sprintf("lists %d lanes for %d pages", len(a.LaneList), len(a.pages)), "list as many lanes for each page")
	}
	for k := i; k < len(a.LaneList); k += len(a.pages) {
		one.LaneList = append(one.LaneList, a.LaneList[k])
	}
	return one
}

var artworkKeys = []field[artworkEntry]{
	{key: "file", need: true, read: func(a *artworkEntry, v value) { v.str(&a.File) }},
	{key: "page", read: func(a *artworkEntry, v value) { count(v, &a.Page, 1, maxPages) }},
	{key: "product", read: func(a *artworkEntry, v value) { v.str(&a.Product) }},
	{key: "label", read: func(a *artworkEntry, v value) { v.size(&a.Label, positive) }},
	{key: "quantity", read: func(a *artworkEntry, v value) { count(v, &a.Quantity, 1, maxQuantity) }},
	{key: "lanes", read: readLanes},
	{key: "labels-per-roll", read: func(a *artworkEntry, v value) { count(v, &a.LabelsPerRoll, 1, maxQuantity) }},
	{key: "splices", read: func(a *artworkEntry, v value) { optional(&a.Splices, v.flag) }},
	{key: "winding", read: func(a *artworkEntry, v value) { maybe(v, &a.Winding, geometry.ParseWinding) }},
	{key: "drug-label", read: func(a *artworkEntry, v value) { v.flag(&a.DrugLabel) }},
	{key: "pages", read: func(a *artworkEntry, v value) { counts(v, &a.pages, 1, maxPages) }},
	{key: "password", read: func(a *artworkEntry, v value) { v.str(&a.Password) }},
	{key: "permitted-by", read: func(a *artworkEntry, v value) { v.str(&a.PermittedBy) }},
}

const maxPages = 10_000_000

// readLanes reads how many lanes an artwork takes, or a list of which.
func readLanes(a *artworkEntry, v value) {
	if v.isList() {
		counts(v, &a.LaneList, 1, maxPlaces)
	} else {
		count(v, &a.LaneCount, 1, maxPlaces)
	}
}

var materialKeys = []field[Material]{
	{key: "name", read: func(m *Material, v value) { v.str(&m.Name) }},
	{key: "kind", read: func(m *Material, v value) { v.str(&m.Kind) }},
	{key: "caliper", read: func(m *Material, v value) { v.thickness(&m.Caliper) }},
}

const maxWindings = 20

var rollKeys = []field[Roll]{
	{key: "labels", read: func(r *Roll, v value) { count(v, &r.Labels, 1, maxQuantity) }},
	{key: "core", read: func(r *Roll, v value) { v.length(&r.Core, positive) }},
	{key: "max-diameter", read: func(r *Roll, v value) { v.length(&r.MaxDiameter, positive) }},
	{key: "splices", read: func(r *Roll, v value) { optional(&r.Splices, v.flag) }},
}
