package labels_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/pdfobj"
	"quoin/impose/vary"
	"quoin/impose/verify/labels"
)

const glancedJob = `
web: 340mm
edge: 5mm
label: 70x45mm
gap: 4x3.175mm
bleed: 1.5mm
frame-max: 100mm
artworks: [{file: %s}]
windings: 2
data: {count: 40, counters: [{name: serial, start: 4711, digits: 9}], device-dpi: 1200dpi}
fields:
  - {name: text, value: "{serial}", at: 18x38mm, cap: 2mm, width: 26mm, font: mono}
  - {name: link, value: "https://example.com/{serial}", at: 52x14mm, symbol: qr, module: 0.42mm}
  - {name: dm, value: "{serial}", at: 4x14mm, symbol: data-matrix, module: 0.42mm}
  - {name: bars, value: "{serial}", at: 13x15mm, symbol: code-128, module: 0.25mm, height: 6mm}
`

// written writes a run of 40 labels.
func written(t *testing.T, art string) (folder string) {
	t.Helper()
	folder = t.TempDir()
	file := filepath.Join(folder, "job.yaml")
	if err := os.WriteFile(file, fmt.Appendf(nil, glancedJob, art), 0o600); err != nil {
		t.Fatal(err)
	}
	j, err := job.Houses(nil).ReadJob(file, nil)
	if err != nil {
		t.Fatal(err)
	}
	im, err := impose.Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	records, err := im.Records()
	if err != nil {
		t.Fatal(err)
	}
	run, _, err := im.Vary(t.Context(), records, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer run.Close()
	if _, err := run.Write(t.Context(), vary.Output{Path: filepath.Join(folder, "run.pdf"), Register: filepath.Join(folder, "run.register"), Identity: "test"}); err != nil {
		t.Fatal(err)
	}
	return folder
}

// part is a press file whose content is changed behind its end, as editors do.
type part struct {
	t    *testing.T
	path string
	text []byte
	doc  *pdfobj.Document
}

func open(t *testing.T, path string) *part {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := pdfobj.Open(bytes.NewReader(text), int64(len(text)), pdfobj.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return &part{t, path, text, doc}
}

// content gives the reference and the text of a content stream of a page: 0 stands
// beneath the labels' data, 1 is those, 2 stands above them.
func (p *part) content(page, stream int) (pdfobj.Ref, string) {
	p.t.Helper()
	node := p.doc.Dict(p.doc.Catalog()["Pages"])
	for p.doc.Name(node["Type"]) != "Page" {
		kids := p.doc.Array(node["Kids"])
		node = p.doc.Dict(kids[min(page, len(kids)-1)])
	}
	ref := p.doc.Array(node["Contents"])[stream].(pdfobj.Ref)
	text, err := io.ReadAll(p.doc.Content(ref))
	if err != nil {
		p.t.Fatal(err)
	}
	return ref, string(text)
}

// replace writes a stream anew.
func (p *part) replace(ref pdfobj.Ref, content string) {
	p.t.Helper()
	size, _ := p.doc.Int(p.doc.Trailer()["Size"])
	root := p.doc.Trailer()["Root"].(pdfobj.Ref)
	end := strings.LastIndex(string(p.text), "startxref")
	var previous int
	if _, err := fmt.Sscanf(string(p.text[end:]), "startxref\n%d", &previous); err != nil {
		p.t.Fatal(err)
	}
	b := bytes.Clone(p.text)
	at := len(b)
	b = fmt.Appendf(b, "%d 0 obj\n<</Length %d>>\nstream\n%s\nendstream\nendobj\n", ref.Num, len(content), content)
	table := len(b)
	entry := func(offset int) string {
		return string([]byte{1, byte(offset >> 24), byte(offset >> 16), byte(offset >> 8), byte(offset), 0})
	}
	b = fmt.Appendf(b, "%d 0 obj\n<</Type/XRef/Size %d/Root %d 0 R/Prev %d/W[1 4 1]/Index[%d 1 %d 1]/Length 12>>\nstream\n%s%s\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n",
		size, size+1, root.Num, previous, ref.Num, size, entry(at), entry(table), table)
	if err := os.WriteFile(p.path, b, 0o600); err != nil {
		p.t.Fatal(err)
	}
}

// change is what becomes of a stream.
type change struct {
	what    string
	ref     pdfobj.Ref
	content string
	harm    bool
	unsure  bool // it is for the renderer, without harm
}

func harm(what string, ref pdfobj.Ref, content string) change {
	return change{what: what, ref: ref, content: content, harm: true}
}

func fine(what string, ref pdfobj.Ref, content string) change {
	return change{what: what, ref: ref, content: content}
}

func unsure(what string, ref pdfobj.Ref, content string) change {
	return change{what: what, ref: ref, content: content, unsure: true}
}

// shifted moves every third line of modules by a point.
func shifted(content string) string {
	lines := strings.SplitAfter(content, "\n")
	for i, n := 0, 0; i < len(lines); i++ {
		if strings.HasSuffix(lines[i], ")'\n") {
			if n++; n%3 == 0 {
				lines[i] = "1 0 Td " + lines[i]
			}
		}
	}
	return strings.Join(lines, "")
}

// changes are what may become of a page, with the first module of its first symbol
// at X, Y.
func changes(good *part) []change {
	data, first := good.content(0, 1)
	_, second := good.content(1, 1)
	above, marks := good.content(0, 2)
	beneath, art := good.content(0, 0)
	// The first module of the first symbol, and where it stands.
	m := regexp.MustCompile(`/F2 1 Tf\n(?:[\d.]+ TL\n)?[-\d.]+ [-\d.]+ [-\d.]+ [-\d.]+ ([\d.]+) ([\d.]+) Tm`).FindStringSubmatch(first)
	form := regexp.MustCompile(`/Art\d+ Do`).FindString(art)
	if m == nil || form == "" {
		good.t.Fatalf("no symbol stands where one is looked for: %.300s", first)
	}
	at := func(text string) string { return strings.NewReplacer("X", m[1], "Y", m[2], "ART", form).Replace(text) }
	return []change{
		harm("covered in white", above, marks+at("\n"+"q 0 0 0 0 k 1 0 0 1 X Y cm -5 -20 20 20 re f Q")),
		harm("covered in black", above, marks+at("\n"+"q 0 0 0 1 k 1 0 0 1 X Y cm -5 -20 20 20 re f Q")),
		harm("covered by a curve", above, marks+at("\n"+"q 0 g 1 0 0 1 X Y cm 0 0 m 0 -40 40 -40 40 0 c f Q")),
		harm("covered by an artwork", above, marks+at("\n"+"q 1 0 0 1 X Y cm 1 0 0 1 -60 -100 cm ART Q")),
		harm("crossed out", above, marks+at("\n"+"q 0 0 0 0 K 12 w 1 0 0 1 X Y cm -5 -10 m 60 -10 l S Q")),
		harm("struck out in black", above, marks+at("\n"+"q 1 w 1 0 0 1 X Y cm -5 -5 m 60 -40 l -5 -12 m 60 -45 l -5 -20 m 60 -50 l -5 -30 m 60 -60 l S Q")),
		harm("covered by a ring", above, marks+at("\n"+"q 0 g 1 0 0 1 X Y cm -2 -30 60 60 re 10 -10 5 5 re f* Q")),
		harm("covered by an inline picture", above, marks+at("\n"+"q 60 0 0 60 X Y cm 1 0 0 1 -.1 -.9 cm BI /W 1 /H 1 /BPC 8 /CS /G ID \x7f EI Q")),
		harm("in white", data, strings.ReplaceAll(first, "0 0 0 1 k", "0 0 0 0 k")),
		harm("in yellow", data, strings.ReplaceAll(first, "0 0 0 1 k", "0 0 1 0 k")),
		harm("faint", data, strings.ReplaceAll(first, "0 0 0 1 k", "0 0 0 .02 k")),
		harm("of another page", data, second),
		harm("nothing", data, "q Q"),
		harm("text alone", data, first[:strings.Index(first, "/F2 1 Tf")]+"ET Q\n"),
		harm("moved by 2 mm", data, "1 0 0 1 5.67 0 cm\n"+first),
		harm("narrower by a tenth", data, "0.9 0 0 1 0 0 cm\n"+first),
		harm("clipped away", data, "0 0 1 1 re W n\n"+first),
		harm("half clipped", data, at("X 0 1000 4000 re W n\n")+first),
		harm("invisible", data, "3 Tr\n"+first),
		harm("rows shifted", data, shifted(first)),
		harm("beneath the artwork", data, first+art),
		unsure("a layer of unknown state", data, "/OC /Nowhere BDC\n"+first+"EMC\n"),
		harm("cut in the middle", data, first[:len(first)/2]),
		harm("spaced out", data, "5 Tc\n"+first),
		fine("a mark beside", above, marks+at("\n"+"q 0 g 2 2 5 5 re f Q")),
		fine("what stands beneath, again", beneath, art),
		fine("itself", data, first),
	}
}

// Whatever is wrong with a page, the run's own proof finds as the renderer does: the
// same labels, the same words.
func TestGlanceIsAsStrictAsTheRenderer(t *testing.T) {
	art, err := filepath.Abs("../../../samples/artwork/case-label.pdf")
	if err != nil {
		t.Fatal(err)
	}
	folder := written(t, art)
	path := filepath.Join(folder, "run.pdf")
	good := open(t, path)
	every := 8
	if testing.Short() {
		every = 16
	}
	for _, c := range trials.Each(every, changes(good)) {
		good.replace(c.ref, c.content)
		report := func(glance bool) (*labels.Report, []string) {
			r, err := labels.Verify(t.Context(), labels.Options{Register: filepath.Join(folder, "run.register"), Glance: glance, Say: func(string) {}})
			if err != nil {
				t.Fatalf("%s: %v", c.what, err)
			}
			var list []string
			for _, d := range r.Differences {
				if d.Code != labels.PartChanged || strings.Contains(d.Text, "drawn") {
					list = append(list, d.Text)
				}
			}
			slices.Sort(list)
			return r, list
		}
		full, want := report(false)
		quick, got := report(true)
		if !slices.Equal(want, got) || full.Symbols != quick.Symbols {
			t.Errorf("%s: the glance reads %d symbols and finds\n%s\nthe renderer %d and\n%s", c.what, quick.Symbols, strings.Join(got, "\n"), full.Symbols, strings.Join(want, "\n"))
		}
		if c.harm != (len(want) > 0) {
			t.Errorf("%s: harm %v, and the renderer finds %d things", c.what, c.harm, len(want))
		}
		if want := !c.harm && !c.unsure; want && quick.Glanced != quick.Symbols || c.unsure && quick.Glanced == quick.Symbols {
			t.Errorf("%s: %d of %d symbols were for the renderer", c.what, quick.Symbols-quick.Glanced, quick.Symbols)
		}
	}
}

// pictured writes an artwork of 70 x 45 mm that is a light picture with its bleed.
func pictured(t *testing.T, more pdfobj.Dict) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "picture.pdf")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	w, err := pdfobj.NewWriter(f, pdfobj.WriterOptions{})
	if err != nil {
		t.Fatal(err)
	}
	stream := func(d pdfobj.Dict, text string) pdfobj.Ref {
		ref := w.Alloc()
		if err := w.PutStream(ref, d, strings.NewReader(text), int64(len(text)), true); err != nil {
			t.Fatal(err)
		}
		return ref
	}
	samples := make([]byte, 4*365*240)
	for i := range samples {
		samples[i] = byte(i % 4 * 10) // little magenta, more yellow, some black
	}
	dict := pdfobj.Dict{"Type": pdfobj.Name("XObject"), "Subtype": pdfobj.Name("Image"), "Width": pdfobj.Integer(365), "Height": pdfobj.Integer(240),
		"ColorSpace": pdfobj.Name("DeviceCMYK"), "BitsPerComponent": pdfobj.Integer(8)}
	maps.Copy(dict, more)
	img := stream(dict, string(samples))
	content := stream(pdfobj.Dict{}, "q 206.929 0 0 136.063 0 0 cm /Im Do Q")
	box := func(list ...float64) (a pdfobj.Array) {
		for _, v := range list {
			a = append(a, pdfobj.Real(v))
		}
		return a
	}
	pages, page, catalog := w.Alloc(), w.Alloc(), w.Alloc()
	if err := errors.Join(
		w.Put(page, pdfobj.Dict{"Type": pdfobj.Name("Page"), "Parent": pages, "Contents": content, "MediaBox": box(0, 0, 206.929, 136.063),
			"TrimBox": box(4.252, 4.252, 202.677, 131.811), "Resources": pdfobj.Dict{"XObject": pdfobj.Dict{"Im": img}}}),
		w.Put(pages, pdfobj.Dict{"Type": pdfobj.Name("Pages"), "Kids": pdfobj.Array{page}, "Count": pdfobj.Integer(1)}),
		w.Put(catalog, pdfobj.Dict{"Type": pdfobj.Name("Catalog"), "Pages": pages}), w.Close(catalog, pdfobj.Ref{}),
	); err != nil {
		t.Fatal(err)
	}
	return path
}

// Symbols on a picture are read at a glance too; those on one whose samples mean
// something else are for the renderer.
func TestGlanceKnowsPictures(t *testing.T) {
	decode := pdfobj.Array{}
	for range 4 {
		decode = append(decode, pdfobj.Integer(0), pdfobj.Real(.9))
	}
	for what, more := range map[string]pdfobj.Dict{"plain": nil, "mapped": {"Decode": decode}} {
		folder := written(t, pictured(t, more))
		r, err := labels.Verify(t.Context(), labels.Options{Register: filepath.Join(folder, "run.register"), Glance: true, Say: func(string) {}})
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Differences) > 0 || r.Symbols == 0 || (r.Glanced == r.Symbols) != (more == nil) {
			t.Errorf("%s: %d of %d symbols were read at a glance, %v", what, r.Glanced, r.Symbols, r.Differences)
		}
	}
}
