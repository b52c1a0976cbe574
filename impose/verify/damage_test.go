package verify_test

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"quoin/impose/pdfobj"
	"quoin/impose/verify"
)

// damages are deliberate faults in a written file, each with the code that must
// name it.
var damages = []struct {
	name, base, code string
	edit             func(*file)
}{
	{"the artwork of a station moved by 2 um", "orchard", verify.StationMoved, func(f *file) { f.content(shifted(0.00567, 0)) }},
	{"the artwork of a station moved by 1.2 um up", "orchard", verify.StationMoved, func(f *file) { f.content(shifted(0, 0.0034)) }},
	{"a clip that cuts half a millimetre of bleed", "orchard", verify.StationClip, func(f *file) {
		f.content(func(s string) string { return clipped.ReplaceAllStringFunc(s, once(narrowed)) })
	}},
	{"a clip that isn't there", "orchard", verify.StationClip, func(f *file) { f.swap("W\nn\n", "n\n") }},
	{"a clip that leaves the outline by 10 um", "round", verify.StationClip, func(f *file) { f.content(bent(" c\n")) }},
	{"a clip of the outline's box", "round", verify.StationClip, func(f *file) {
		f.content(func(s string) string { return curved.ReplaceAllStringFunc(s, once(boxed)) })
	}},
	{"a cut that leaves its contour", "round", verify.DrawnShape, func(f *file) {
		f.content(func(s string) string {
			at := strings.Index(s, "/OC /cutting BDC")
			return s[:at] + bent(" c\n")(s[at:])
		})
	}},
	{"a cut that no layer holds", "round", verify.LayerState, func(f *file) { f.swap("/OC /cutting BDC", "/Cut BMC") }},
	{"a lane of another width shifted by 5 um", "band", verify.StationMoved, func(f *file) { f.content(lane(40*pt, 0.01417)) }},
	{"a lane of another width shifted over its neighbour", "band", verify.StationMoved, func(f *file) { f.content(lane(40*pt, -20*pt)) }},
	{"a wide label in a narrow lane", "band", verify.WrongArtwork, func(f *file) { f.swap("/Art1 Do", "/Art2 Do") }},
	{"a swapped artwork", "orchard", verify.WrongArtwork, func(f *file) { f.swap("/Art1 Do", "/Art2 Do") }},
	{"a wrong turn", "orchard", verify.StationTurned, func(f *file) {
		f.content(func(s string) string { return upright.ReplaceAllStringFunc(s, once(turnedOver)) })
	}},
	{"a mirrored label", "orchard", verify.StationTurned, func(f *file) {
		f.content(func(s string) string { return upright.ReplaceAllStringFunc(s, once(mirrored)) })
	}},
	{"a label scaled by 1 %", "orchard", verify.StationScaled, func(f *file) {
		f.content(func(s string) string { return strings.Replace(s, "1 0 0 1 ", "1.01 0 0 1.01 ", 1) })
	}},
	{"a form's own matrix scaled", "orchard", verify.StationScaled, func(f *file) {
		d, _ := f.form("Art1")
		m := d["Matrix"].(pdfobj.Array)
		m[0], m[3] = pdfobj.Real(1.001), pdfobj.Real(1.001)
	}},
	{"a white under varnish", "varnish", verify.CoverShape, func(f *file) {
		_, label := f.form("Art1")
		mask, _ := f.find(func(o pdfobj.Object) bool {
			d, ok := o.(pdfobj.Dict)
			return ok && d["Group"] != nil && f.get(d, "Resources", "XObject", "Art") != nil
		})
		f.dict(mask, "Resources", "XObject")["Art"] = pdfobj.Ref{Num: label}
	}},
	{"a die line that prints", "varnish", verify.LayerState, func(f *file) { delete(f.dict(f.root(), "OCProperties", "D"), "OFF") }},
	{"a missing station", "orchard", verify.StationMissing, func(f *file) {
		f.content(func(s string) string { return station.ReplaceAllStringFunc(s, once(func(string) string { return "" })) })
	}},
	{"an additional station", "orchard", verify.StationExtra, func(f *file) {
		f.content(func(s string) string { return s + "q 1 0 0 1 800 5 cm /Plain gs /Art1 Do Q\n" })
	}},
	{"overprint left on before an artwork", "orchard", verify.StationState, func(f *file) {
		f.dict(f.page(), "Resources", "ExtGState")["Left"] = pdfobj.Dict{"op": true, "OP": true}
		f.content(func(s string) string { return strings.Replace("/Left gs\n"+s, "/Plain gs\n", "", 1) })
	}},
	{"a colour left behind before an artwork", "plum", verify.StationState, func(f *file) {
		f.content(func(s string) string { return "1 0 0 0 k\n" + s })
	}},
	{"a state that no longer resets", "orchard", verify.StationState, func(f *file) {
		f.dict(f.page(), "Resources", "ExtGState", "Plain")["ca"] = pdfobj.Real(.5)
	}},
	{"a label on a layer that the frame doesn't have", "orchard", verify.StationState, func(f *file) {
		f.content(func(s string) string {
			return station.ReplaceAllStringFunc(s, once(func(q string) string { return "/OC /Off BDC\n" + q + "EMC\n" }))
		})
	}},

	{"a changed byte in an artwork's content", "plum", verify.StreamBytes, func(f *file) {
		_, n := f.form("Art1")
		f.data[n] = bytes.Clone(f.data[n])
		f.data[n][len(f.data[n])/2] ^= 1
	}},
	{"content unpacked, though it reads the same", "plum", verify.Content, func(f *file) {
		_, n := f.form("Art1")
		f.set(n, f.unpack(n))
	}},
	{"a re-encoded image", "walnut", verify.StreamBytes, func(f *file) {
		d, n := f.find(has("Subtype", pdfobj.Name("Image")))
		pixels := f.unpack(n)
		var b bytes.Buffer
		z, _ := zlib.NewWriterLevel(&b, zlib.BestSpeed)
		z.Write(pixels)
		z.Close()
		f.set(n, b.Bytes())
		d.(pdfobj.Dict)["Filter"] = pdfobj.Name("FlateDecode")
	}},
	{"an image without its soft mask", "mask", verify.ObjectLost, func(f *file) {
		d, _ := f.find(func(o pdfobj.Object) bool {
			d, ok := o.(pdfobj.Dict)
			return ok && d["Subtype"] == pdfobj.Name("Image") && d["SMask"] != nil
		})
		delete(d.(pdfobj.Dict), "SMask")
	}},
	{"a font stripped", "plum", verify.ObjectLost, func(f *file) {
		d, _ := f.find(func(o pdfobj.Object) bool { d, ok := o.(pdfobj.Dict); return ok && d["FontFile"] != nil })
		delete(d.(pdfobj.Dict), "FontFile")
	}},
	{"another default colour space", "default", verify.ObjectLost, func(f *file) {
		d, _ := f.form("Art1")
		delete(f.dict(d, "Resources", "ColorSpace"), "DefaultRGB")
	}},
	{"another number in a graphics state", "plum", verify.ObjectValue, func(f *file) {
		d, _ := f.form("Art1")
		for _, state := range f.dict(d, "Resources", "ExtGState") {
			f.dict(state)["OPM"] = pdfobj.Integer(0)
			f.dict(state)["op"] = false
		}
	}},
	{"the box of a form cut", "orchard", verify.FormBox, func(f *file) {
		d, _ := f.form("Art1")
		d["BBox"].(pdfobj.Array)[0] = pdfobj.Real(4.25)
	}},
	{"a form hung on a layer", "plum", verify.ObjectAdded, func(f *file) {
		d, _ := f.form("Art1")
		d["OC"] = f.get(f.root(), "OCProperties", "OCGs").(pdfobj.Array)[1]
	}},
	{"a dropped group of an artwork", "orchard", verify.GroupDiffers, func(f *file) {
		d, _ := f.form("Art1")
		delete(d, "Group")
	}},
	{"an annotation that prints dropped", "annotation", verify.Annotations, func(f *file) {
		_, n := f.form("Art1")
		f.set(n, []byte("/Page Do\n"))
	}},
	{"an annotation that prints moved", "annotation", verify.Annotations, func(f *file) {
		_, n := f.form("Art1")
		f.set(n, bytes.Replace(f.unpack(n), []byte(" cm"), []byte(" 1 1 cm"), 1))
	}},

	{"a renamed ink", "plum", verify.InkName, func(f *file) { renamed(f, "Plum Skin", "Plum") }},
	{"a die line that prints again", "orchard", verify.InkName, func(f *file) { renamed(f, "None", "Cutting") }},
	{"an ink that looks otherwise in one artwork", "shared", verify.InkSpace, func(f *file) {
		d, _ := f.form("Art2")
		space := f.get(d, "Resources", "ColorSpace", "S").(pdfobj.Array)
		space[3] = pdfobj.Dict{"FunctionType": pdfobj.Integer(2), "N": pdfobj.Integer(1), "Domain": pdfobj.Array{pdfobj.Integer(0), pdfobj.Integer(1)},
			"C0": space[3].(pdfobj.Dict)["C0"], "C1": pdfobj.Array{pdfobj.Integer(0), pdfobj.Real(.5), pdfobj.Real(.5), pdfobj.Real(.5)}}
	}},
	{"a mark in a plate that the job doesn't have", "orchard", verify.InkUnknown, func(f *file) {
		f.dict(f.page(), "Resources", "ColorSpace")["Odd"] = pdfobj.Array{pdfobj.Name("Separation"), pdfobj.Name("All"), pdfobj.Name("DeviceCMYK"),
			pdfobj.Dict{"FunctionType": pdfobj.Integer(2), "N": pdfobj.Integer(1)}}
		f.swap("0 0 0 1 k\n", "/Odd cs\n1 scn\n")
	}},

	{"a dropped layer", "plum", verify.LayerLost, func(f *file) {
		p := f.dict(f.root(), "OCProperties")
		p["OCGs"] = f.get(p["OCGs"]).(pdfobj.Array)[:1]
	}},
	{"a layer switched on", "plum", verify.LayerState, func(f *file) { delete(f.dict(f.root(), "OCProperties", "D"), "OFF") }},
	{"a layer switched off", "plum", verify.LayerState, func(f *file) {
		p := f.dict(f.root(), "OCProperties")
		f.dict(p["D"])["OFF"] = p["OCGs"]
	}},
	{"layers that switch by themselves", "plum", verify.LayerState, func(f *file) {
		f.dict(f.root(), "OCProperties", "D")["AS"] = pdfobj.Array{pdfobj.Dict{"Event": pdfobj.Name("Print")}}
	}},
	{"a layer that nobody can see", "plum", verify.LayerOrder, func(f *file) { delete(f.dict(f.root(), "OCProperties", "D"), "Order") }},
	{"a layer more", "plum", verify.LayerExtra, func(f *file) {
		p := f.dict(f.root(), "OCProperties")
		more := f.add(pdfobj.Dict{"Type": pdfobj.Name("OCG"), "Name": pdfobj.String("More")})
		p["OCGs"] = append(f.get(p["OCGs"]).(pdfobj.Array), more)
	}},

	{"a removed target", "orchard", verify.DrawnMissing, func(f *file) {
		f.content(func(s string) string { return target.ReplaceAllStringFunc(s, once(func(string) string { return "" })) })
	}},
	{"a target of another tint", "orchard", verify.TargetPaint, func(f *file) { f.swap("0.5 0 0 0 k", "0.45 0 0 0 k") }},
	{"targets at half their strength", "orchard", verify.DrawnState, func(f *file) {
		f.dict(f.page(), "Resources", "ExtGState")["Half"] = pdfobj.Dict{"ca": pdfobj.Real(.5)}
		f.content(func(s string) string {
			return target.ReplaceAllStringFunc(s, once(func(q string) string { return "q\n/Half gs\n" + strings.TrimPrefix(q, "q\n") }))
		})
	}},
	{"a dashed mark", "orchard", verify.DrawnState, func(f *file) {
		f.content(func(s string) string { return strings.Replace(s, "0.28346 w\n", "0.28346 w\n[1 1] 0 d\n", 1) })
	}},
	{"a mark with a thicker line", "orchard", verify.DrawnInk, func(f *file) {
		f.content(func(s string) string { return stroked.ReplaceAllString(s, "1 w") })
	}},
	{"a mark moved over a label", "orchard", verify.OverLabel, func(f *file) {
		f.content(func(s string) string {
			return target.ReplaceAllStringFunc(s, once(func(q string) string { return "q\n1 0 0 1 400 0 cm\n" + strings.TrimPrefix(q, "q\n") }))
		})
	}},
	{"a mark moved by 3 um", "orchard", verify.DrawnMoved, func(f *file) {
		f.content(func(s string) string {
			return target.ReplaceAllStringFunc(s, once(func(q string) string { return "q\n1 0 0 1 0 0.0085 cm\n" + strings.TrimPrefix(q, "q\n") }))
		})
	}},
	{"a line over a label", "orchard", verify.OverLabel, func(f *file) {
		f.content(func(s string) string { return s + "0 0 0 1 K 1 w 450 0 m 450 300 l S\n" })
	}},
	{"a mark in the eye mark's track", "orchard", verify.OverTrack, func(f *file) {
		f.content(func(s string) string { return s + "0 0 0 1 k 35 100 3 3 re f\n" })
	}},
	{"an image on the frame", "plum", verify.DrawnExtra, func(f *file) {
		f.content(func(s string) string { return s + "q 20 0 0 20 5 5 cm BI /W 1 /H 1 /BPC 8 /CS /G ID \x00 EI Q\n" })
	}},
	{"white painted before the artwork", "white", verify.DrawnOrder, func(f *file) {
		f.content(func(s string) string {
			white := regexp.MustCompile(`(?s)q\n/Overprint gs\n.*?Q\n`).FindString(s)
			return white + strings.Replace(s, white, "", 1)
		})
	}},
	{"white that knocks out", "white", verify.DrawnInk, func(f *file) { f.swap("/Overprint gs\n", "") }},

	{"a white that follows another artwork", "cover", verify.CoverShape, func(f *file) {
		f.content(func(s string) string { return covers.ReplaceAllString(s, covers.FindStringSubmatch(s)[0]) })
	}},
	{"a white without its mask", "cover", verify.DrawnExtra, func(f *file) {
		f.content(func(s string) string { return covers.ReplaceAllStringFunc(s, once(func(string) string { return "" })) })
	}},
	{"a white that is choked less", "cover", verify.CoverShape, func(f *file) {
		_, n := f.find(func(o pdfobj.Object) bool {
			d, ok := o.(pdfobj.Dict)
			return ok && f.get(d, "Resources", "XObject", "Picture") != nil
		})
		f.set(n, bytes.ReplaceAll(f.unpack(n), []byte("0.56693"), []byte("0.4")))
	}},
	{"a white switched off", "cover", verify.LayerState, func(f *file) {
		p := f.dict(f.root(), "OCProperties")
		all := f.get(p["OCGs"]).(pdfobj.Array)
		f.dict(p["D"])["OFF"] = pdfobj.Array{all[len(all)-1]}
	}},
	{"a frame that isn't mirrored", "mirrored", verify.StationTurned, func(f *file) {
		c := f.page()["Contents"].(pdfobj.Array)
		f.page()["Contents"] = c[1:]
	}},

	{"a dropped page group", "orchard", verify.BlendSpace, func(f *file) { delete(f.page(), "Group") }},
	{"another blend space", "orchard", verify.BlendSpace, func(f *file) {
		f.page()["Group"] = pdfobj.Dict{"S": pdfobj.Name("Transparency"), "I": true, "CS": pdfobj.Name("DeviceRGB")}
	}},
	{"a changed box", "orchard", verify.PageBox, func(f *file) { f.page()["TrimBox"].(pdfobj.Array)[3] = pdfobj.Integer(100) }},
	{"a frame turned", "orchard", verify.PageExtra, func(f *file) { f.page()["Rotate"] = pdfobj.Integer(90) }},
	{"an annotation on the frame", "plum", verify.PageExtra, func(f *file) {
		f.page()["Annots"] = pdfobj.Array{pdfobj.Dict{"Subtype": pdfobj.Name("Square"), "Rect": pdfobj.Array{}}}
	}},
	{"an action", "plum", verify.PageExtra, func(f *file) { f.root()["OpenAction"] = pdfobj.Dict{"S": pdfobj.Name("JavaScript")} }},
	{"an extra page", "orchard", verify.PageCount, func(f *file) {
		node := f.dict(f.catalog, "Pages", "Kids", 0)
		node["Kids"] = append(node["Kids"].(pdfobj.Array), node["Kids"].(pdfobj.Array)[0])
	}},
	{"another output intent", "orchard", verify.IntentDiffers, func(f *file) {
		f.dict(f.root(), "OutputIntents", 0)["OutputConditionIdentifier"] = pdfobj.String("Another")
	}},
	{"no output intent", "orchard", verify.IntentDiffers, func(f *file) { delete(f.root(), "OutputIntents") }},
	{"a claim that nobody checked", "plum", verify.MarkerDiffers, func(f *file) { f.dict(f.info)["GTS_PDFXVersion"] = pdfobj.String("PDF/X-4") }},
	{"an operator that has no place in a frame", "plum", verify.Unreadable, func(f *file) { f.content(func(s string) string { return s + "1 2 zz\n" }) }},
}

var (
	upright = regexp.MustCompile(`1 0 0 1 (\S+) (\S+) cm`)
	clipped = regexp.MustCompile(`(?m)^(\S+) (\S+) m\n(\S+) (\S+) l\n(\S+) (\S+) l\n(\S+) (\S+) l\nh\nW`)
	station = regexp.MustCompile(`(?s)q\n[^Q]*?Do\nQ\n`)
	target  = regexp.MustCompile(`q\n0 1 0 0 k\n[^Q]*?f\nQ\n`)
	covers  = regexp.MustCompile(`/Cover\S* gs\n`)
	stroked = regexp.MustCompile(`0\.28346 w`)
)

// curved is a clip along an outline.
var curved = regexp.MustCompile(`(?s)q\n([^q]*?)h\nW\nn\n`)

// bent moves the first control point of the first curve by 10 um, along the
// curve, so that its box stays.
func bent(op string) func(string) string {
	return func(s string) string {
		at := strings.Index(s, op)
		line := s[strings.LastIndex(s[:at], "\n")+1 : at]
		var x1, y1, x2, y2, x3, y3 float64
		fmt.Sscanf(line, "%g %g %g %g %g %g", &x1, &y1, &x2, &y2, &x3, &y3)
		x1, y1 = x1+(x2-x1)*.02, y1+(y2-y1)*.02
		return strings.Replace(s, line, fmt.Sprintf("%.5f %.5f %.5f %.5f %.5f %.5f", x1, y1, x2, y2, x3, y3), 1)
	}
}

// boxed gives the rectangle around a clip.
func boxed(clip string) string {
	left, bottom, right, top := 1e9, 1e9, -1e9, -1e9
	for _, line := range strings.Split(clip, "\n") {
		v := strings.Fields(line)
		for i := 0; i+1 < len(v); i += 2 {
			var x, y float64
			fmt.Sscanf(v[i]+" "+v[i+1], "%g %g", &x, &y)
			left, bottom, right, top = min(left, x), min(bottom, y), max(right, x), max(top, y)
		}
	}
	return fmt.Sprintf("q\n%.5f %.5f %.5f %.5f re\nW\nn\n", left, bottom, right-left, top-bottom)
}

// once lets an edit happen to the first match only.
func once(edit func(string) string) func(string) string {
	done := false
	return func(s string) string {
		if done {
			return s
		}
		done = true
		return edit(s)
	}
}

// shifted moves the first artwork within its clip.
func shifted(dx, dy float64) func(string) string {
	return func(s string) string {
		return upright.ReplaceAllStringFunc(s, once(func(cm string) string {
			var x, y float64
			fmt.Sscanf(cm, "1 0 0 1 %g %g cm", &x, &y)
			return fmt.Sprintf("1 0 0 1 %.5f %.5f cm", x+dx, y+dy)
		}))
	}
}

// lane shifts all labels that stand right of a place, clips and all else left
// as they are.
func lane(beyond, by float64) func(string) string {
	return func(s string) string {
		return upright.ReplaceAllStringFunc(s, func(cm string) string {
			var x, y float64
			fmt.Sscanf(cm, "1 0 0 1 %g %g cm", &x, &y)
			if x > 340*pt/2-beyond/2 {
				x += by
			}
			return fmt.Sprintf("1 0 0 1 %.5f %.5f cm", x, y)
		})
	}
}

// turnedOver turns the first label by 180 degrees about its middle: orchard's
// labels are of 50 x 75 mm.
func turnedOver(cm string) string {
	var x, y float64
	fmt.Sscanf(cm, "1 0 0 1 %g %g cm", &x, &y)
	return fmt.Sprintf("-1 0 0 -1 %.5f %.5f cm", x+50*pt, y+75*pt)
}

func mirrored(cm string) string {
	var x, y float64
	fmt.Sscanf(cm, "1 0 0 1 %g %g cm", &x, &y)
	return fmt.Sprintf("-1 0 0 1 %.5f %.5f cm", x+50*pt, y)
}

const pt = 72 / 25.4

// narrowed takes half a millimetre off the left of a clip.
func narrowed(path string) string {
	x := clipped.FindStringSubmatch(path)[1]
	var left float64
	fmt.Sscanf(x, "%g", &left)
	return strings.ReplaceAll(path, x, fmt.Sprintf("%.5f", left+.5*pt))
}

// renamed gives a Separation another name wherever it stands.
func renamed(f *file, from, to pdfobj.Name) {
	var walk func(pdfobj.Object)
	walk = func(o pdfobj.Object) {
		switch v := o.(type) {
		case pdfobj.Array:
			if len(v) >= 4 && v[0] == pdfobj.Object(pdfobj.Name("Separation")) && v[1] == pdfobj.Object(from) {
				v[1] = to
			}
			for _, e := range v {
				walk(e)
			}
		case pdfobj.Dict:
			for _, k := range v.Keys() {
				walk(v[k])
			}
		}
	}
	for n := 1; n <= f.next; n++ {
		walk(f.objects[n])
	}
}

// TestEveryDamageIsFoundAndNamed damages written files one way at a time.
func TestEveryDamageIsFoundAndNamed(t *testing.T) {
	files := bases(t)
	for name, b := range files { // the tool itself must do no damage
		if r := verified(t, opened(t, b.pdf).save(), b.summary); !r.Same {
			t.Fatalf("%s, taken apart and written again: %+v", name, r.Differences)
		}
	}
	for _, d := range damages {
		t.Run(d.name, func(t *testing.T) {
			b, ok := files[d.base]
			if !ok {
				t.Fatalf("there is no file %s to damage", d.base)
			}
			f := opened(t, b.pdf)
			d.edit(f)
			r := verified(t, f.save(), b.summary)
			if r.Same || !slices.Contains(codes(r), d.code) {
				t.Errorf("want %s, got %q", d.code, r.Differences)
			}
			if testing.Verbose() {
				for _, x := range r.Differences[:min(3, len(r.Differences))] {
					t.Logf("%s: %s (%s)", x.Code, x.Text, x.Object)
				}
			}
		})
	}
}
