package mark_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/mark"
)

// What must hold on any frame: marks and targets are printable, stay inside
// the frame, out of labels, out of the eye mark's track and off one another;
// and every patch is laid or named in a warning.
func TestNothingTouches(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		l, err := geometry.Plan(drawRequest(rt))
		if err != nil {
			rt.Skip(err)
		}
		inks, o := drawInks(rt), drawOptions(rt)
		m, err := mark.Lay(l, inks, o)
		if err != nil {
			rt.Fatal(err)
		}
		again, _ := mark.Lay(l, inks, o)
		if text(m) != text(again) {
			rt.Fatal("the same frame was laid in two ways")
		}
		checkPlaces(rt, l, m, o)
		checkPatches(rt, l, m, inks, o)
	})
}

func length(rt *rapid.T, name string, least, most geometry.Length) geometry.Length {
	// Steps of a tenth let things touch and fit exactly more often.
	return geometry.Length(rapid.Int64Range(int64(least/(100*um)), int64(most/(100*um))).Draw(rt, name)) * 100 * um
}

func drawRequest(rt *rapid.T) geometry.Request {
	return geometry.Request{
		Web:    geometry.Web{Width: length(rt, "web", 60*mm, 350*mm), Edge: length(rt, "edge", 0, 12*mm), TargetLane: length(rt, "lane", 0, 20*mm)},
		Label:  geometry.Size{Across: length(rt, "label across", 10*mm, 120*mm), Around: length(rt, "label around", 8*mm, 200*mm)},
		Gap:    geometry.Size{Across: length(rt, "gap across", 0, 12*mm), Around: length(rt, "gap around", 0, 12*mm)},
		Bleed:  length(rt, "bleed", 0, 4*mm),
		Repeat: geometry.Repeat{Max: length(rt, "repeat", 50*mm, 1000*mm)},
		Lanes:  rapid.IntRange(0, 2).Draw(rt, "lanes"),
		Shift:  length(rt, "shift", -5*mm, 5*mm),
	}
}

func drawInks(rt *rapid.T) []ink.Ink {
	all := rapid.Permutation([]ink.Ink{cyan, magenta, yellow, black, orange, white, varnish}).Draw(rt, "inks")
	return all[:rapid.IntRange(1, len(all)).Draw(rt, "count")]
}

func drawOptions(rt *rapid.T) mark.Selection {
	o := mark.Default()
	o.Clearance = length(rt, "clearance", 0, 2*mm)
	o.Register.Size = length(rt, "register", 2*mm, 8*mm)
	o.Targets.Patch = geometry.Size{Across: length(rt, "patch across", 2*mm, 8*mm), Around: length(rt, "patch around", 2*mm, 8*mm)}
	o.Targets.Side = rapid.SampledFrom([]mark.Side{mark.Left, mark.Right, mark.Both}).Draw(rt, "side")
	o.Targets.Once = rapid.Bool().Draw(rt, "once")
	o.Targets.OnWhite = rapid.Bool().Draw(rt, "on white")
	o.Targets.ThreeInks = rapid.Bool().Draw(rt, "three inks")
	o.Targets.LanePatch = rapid.SampledFrom([]geometry.Length{0, 2 * mm, 3 * mm}).Draw(rt, "lane patch")
	o.Slug = &mark.Slug{Job: "4711", Lanes: []string{"Ärgerlich langer Name eines Produkts", "kurz"}}
	if rapid.Bool().Draw(rt, "eye") {
		o.Eye = usualEye()
		o.Eye.Side = rapid.SampledFrom([]mark.Side{mark.Left, mark.Right}).Draw(rt, "eye side")
		o.Eye.PerRow = rapid.Bool().Draw(rt, "per row")
		if rapid.Bool().Draw(rt, "eye offset") {
			off := length(rt, "offset", 0, 60*mm)
			o.Eye.Offset = &off
		}
	}
	if rapid.Bool().Draw(rt, "trim") {
		o.Trim = mark.DefaultTrim()
		o.Trim.Offset = length(rt, "trim offset", 0, 3*mm)
	}
	return o
}

// printed gives the box that an item's ink takes.
func printed(item draw.Item) geometry.Box {
	switch item := item.(type) {
	case draw.Fill:
		return item.Path.Bounds()
	case draw.Stroke:
		b := item.Path.Bounds()
		if b.Size().Across == 0 { // a tick along the web, with butt ends
			b.Min.Across -= item.Width / 2
			b.Max.Across = b.Min.Across + item.Width
		} else if b.Size().Around == 0 {
			b.Min.Around -= item.Width / 2
			b.Max.Around = b.Min.Around + item.Width
		}
		return b
	}
	return geometry.Box{}
}

func checkPlaces(rt *rapid.T, l *geometry.Layout, m *mark.Marks, o mark.Selection) {
	frame := geometry.Box{Min: geometry.Position{Across: l.Web.Edge},
		Max: geometry.Position{Across: l.Web.Width - l.Web.Edge, Around: l.Repeat}}
	boxes := make([]geometry.Box, len(m.Items))
	for i, item := range m.Items {
		boxes[i] = printed(item)
		what := draw.Notation([]draw.Item{item})
		if !frame.Contains(boxes[i]) {
			rt.Fatalf("not printable or over the seam, in a frame of %v: %s", frame, what)
		}
		for _, s := range l.Station {
			if inMatrix(m, item) {
				if s.Trim.Outset(500*um).Overlaps(boxes[i]) && boxes[i].Size().Across > 200*um {
					rt.Fatalf("less than 0.5 mm off the trim %v: %s", s.Trim, what)
				}
				continue
			}
			if s.Clip.Overlaps(boxes[i]) {
				rt.Fatalf("in the clip %v of lane %d, row %d: %s", s.Clip, s.Lane, s.Row, what)
			}
		}
	}
	var tracks []geometry.Box
	for i, item := range m.Items {
		if f, ok := item.(draw.Fill); ok && o.Eye != nil && f.Layer == draw.Marks && boxes[i].Size() == o.Eye.Size {
			track := geometry.Box{Min: geometry.Position{Across: boxes[i].Min.Across}, Max: geometry.Position{Across: boxes[i].Max.Across, Around: l.Repeat}}
			side := (o.Eye.Track - o.Eye.Size.Across) / 2
			track.Min.Across -= side
			track.Max.Across += side
			tracks = append(tracks, track)
		}
	}
	for i, item := range m.Items {
		for _, track := range tracks {
			if boxes[i].Overlaps(track) && boxes[i].Size() != o.Eye.Size {
				rt.Fatalf("in the eye mark's track %v: %s", track, draw.Notation([]draw.Item{item}))
			}
		}
		for j := range i {
			if boxes[i].Overlaps(boxes[j]) && !(inMatrix(m, item) && inMatrix(m, m.Items[j])) && !together(m.Items[i], m.Items[j], boxes[i].Union(boxes[j]), l, o) {
				rt.Fatalf("one on another:\n%s", draw.Notation([]draw.Item{item, m.Items[j]}))
			}
		}
	}
}

// inMatrix reports whether an item is a tick on bleed, or the paper around one.
func inMatrix(m *mark.Marks, item draw.Item) bool {
	switch item := item.(type) {
	case draw.Fill:
		return item.Layer == draw.Marks && slices.Contains(m.Matrix, item.Path.Bounds())
	case draw.Stroke:
		return item.Layer == draw.Marks && slices.Contains(m.Matrix, item.Path.Bounds())
	}
	return false
}

// together reports whether two items are parts of one thing: of a register mark
// in a margin, or of the slug line.
func together(a, b draw.Item, both geometry.Box, l *geometry.Layout, o mark.Selection) bool {
	if a.On() == draw.Slug && b.On() == draw.Slug {
		return true
	}
	inMargin := both.Max.Across <= l.Web.Margin() || both.Min.Across >= l.Web.Width-l.Web.Margin()
	return a.On() == draw.Marks && b.On() == draw.Marks && inMargin && both.Size().Across <= o.Register.Size && both.Size().Around <= o.Register.Size
}

func checkPatches(rt *rapid.T, l *geometry.Layout, m *mark.Marks, inks []ink.Ink, o mark.Selection) {
	var said string
	for _, w := range append(m.Warnings, m.Notes...) {
		if w.Code == mark.CodeTargets {
			said += w.Text
		} else if w.Code == mark.CodeNoLane {
			return
		}
	}
	var filled []geometry.Box
	for _, item := range m.Items {
		if item.On() == draw.Targets {
			filled = append(filled, printed(item))
		}
	}
	sets := map[int][]string{}
	for i, p := range m.Patches {
		if p.Number != i+1 {
			rt.Fatalf("patch %d has the number %d", i+1, p.Number)
		}
		if slices.Contains(filled, p.Box) != (len(p.Tints) > 0) {
			rt.Fatalf("%s at %v: drawn or not, and should not or should be", p.Name, p.Box)
		}
		for _, q := range m.Patches[:i] {
			if p.Box.Overlaps(q.Box) {
				rt.Fatalf("%s covers %s", p.Name, q.Name)
			}
		}
		if p.Lane > 0 {
			checkLanePatch(rt, l, p, o)
			continue
		}
		sets[p.Set] = append(sets[p.Set], p.Name)
	}
	want := expected(inks, o.Targets)
	for n := 1; n <= max(1, len(sets)); n++ {
		for _, name := range want {
			if !slices.Contains(sets[n], name) && !(n == 1 && strings.Contains(said, name)) {
				rt.Fatalf("set %d lacks %s, and no warning says so: %q", n, name, said)
			}
		}
		if said == "" && len(sets[n]) != len(want) {
			rt.Fatalf("set %d has %d patches, want %d", n, len(sets[n]), len(want))
		}
	}
	if o.Targets.Once && len(sets) > 1 {
		rt.Fatalf("%d sets where one was asked for", len(sets))
	}
}

// checkLanePatch holds that a lane's own patch stands in a gap beside the lane.
func checkLanePatch(rt *rapid.T, l *geometry.Layout, p mark.Patch, o mark.Selection) {
	if p.Side != mark.Matrix || p.Box.Size().Across != o.Targets.LanePatch || p.Box.Size().Around != o.Targets.LanePatch {
		rt.Fatalf("a patch of lane %d: %+v", p.Lane, p)
	}
	for _, s := range l.Station {
		if s.Lane != p.Lane {
			continue
		}
		beside := max(p.Box.Min.Across-s.Trim.Max.Across, s.Trim.Min.Across-p.Box.Max.Across)
		if beside < 0 || beside > l.Gap.Across+l.Web.Width/2 {
			rt.Fatalf("lane %d's patch at %v is not beside it, at %v", p.Lane, p.Box, s.Trim)
		}
	}
}

// expected names the patches that a set should have, in a way of its own.
func expected(inks []ink.Ink, t *mark.Targets) []string {
	at := map[string]int{}
	for i, k := range inks {
		at[k.Name] = i + 1
	}
	on := ""
	if t.OnWhite && at["White"] > 0 {
		on = " on White"
	}
	list := []string{"paper" + on}
	if on != "" {
		list = append(list, "bare stock")
	}
	for _, k := range inks {
		over := ""
		if k.Kind == ink.White && at["Black"] > 0 && at["Black"] < at["White"] {
			over = " over Black"
		}
		if k.Kind != ink.White {
			over = on
		}
		list = append(list, k.Name+over)
		for _, v := range t.Tints {
			if k.Kind != ink.Varnish {
				list = append(list, fmt.Sprintf("%s %g %%%s", k.Name, 100*v, over))
			}
		}
	}
	c, m, y := at["Cyan"] > 0, at["Magenta"] > 0, at["Yellow"] > 0
	if c && m && y {
		list = append(list, "grey 25/19/19"+on, "grey 50/40/40"+on, "grey 75/66/66"+on)
	}
	if m && y {
		list = append(list, "red"+on)
	}
	if c && y {
		list = append(list, "green"+on)
	}
	if c && m {
		list = append(list, "blue"+on)
	}
	if t.ThreeInks && c && m && y {
		list = append(list, "three inks"+on)
	}
	return list
}
