package impose

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/impose/artwork"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/pdfobj"
	"quoin/impose/say"
	"quoin/impose/witness"
)

// spotLabel writes a label of 50 x 75 mm that prints one spot ink, by its
// escaped name and its full CMYK look, alone and in a mixture with another.
func spotLabel(t *testing.T, name, look, catalog string) string {
	t.Helper()
	alone := "[/Separation /" + name + " /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [" + look + "] >>]"
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R "+catalog+" >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		`<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << /ColorSpace << /S `+alone+`
/M [/DeviceN [/`+name+` /Fern] /DeviceCMYK 5 0 R << /Colorants << /`+name+` `+alone+` >> >>] >> >>
/MediaBox [0 0 150.2362205 221.1023622] /TrimBox [4.2519685 4.2519685 145.9842520 216.8503937] >>`,
		witness.Stream("", "/S cs 1 scn 10 10 50 50 re f /M cs .5 .5 scn 70 10 50 50 re f"),
		witness.Stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ pop 0 exch 0 0 }"),
	)
}

// separations gives every Separation in a file, as text, but that of Fern,
// which the engine makes for its targets.
func separations(t *testing.T, path string) []string {
	t.Helper()
	doc, err := pdfobj.OpenFile(path, pdfobj.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	defer doc.Close()
	found := map[string]bool{}
	seen := map[pdfobj.Ref]bool{}
	var walk func(o pdfobj.Object)
	walk = func(o pdfobj.Object) {
		if ref, ok := o.(pdfobj.Ref); ok {
			if seen[ref] {
				return
			}
			seen[ref] = true
		}
		v, err := doc.Resolve(o)
		if err != nil {
			t.Fatal(err)
		}
		switch v := v.(type) {
		case pdfobj.Array:
			if len(v) == 4 && doc.Name(v[0]) == "Separation" && doc.Name(v[1]) != "Fern" {
				tint := doc.Dict(v[3])
				found[fmt.Sprintf("%q %v %v", doc.Name(v[1]), doc.Name(v[2]), doc.Array(tint["C1"]))] = true
			}
			for _, e := range v {
				walk(e)
			}
		case pdfobj.Dict:
			for _, k := range v.Keys() {
				walk(v[k])
			}
		case *pdfobj.Stream:
			walk(v.Dict)
		}
	}
	walk(doc.Trailer())
	var list []string
	for s := range found {
		list = append(list, s)
	}
	slices.Sort(list)
	return list
}

// TestOneNameHasOneAlternate imposes artworks that show one spot ink in
// different ways; the first one's colour space must stand for all.
func TestOneNameHasOneAlternate(t *testing.T) {
	j := jobFor(spotLabel(t, "Plum", "0 .9 .3 .4", ""))
	j.Artworks = append(j.Artworks, job.Artwork{File: spotLabel(t, "Plum", "0 .5 .5 .5", ""), Page: 1, Quantity: 1000})
	im, out := imposed(t, j)
	if got := separations(t, out); len(got) != 1 || got[0] != `"Plum" DeviceCMYK [0 0.9 0.3 0.4]` {
		t.Errorf("Separations %q, want the first artwork's Plum alone", got)
	}
	if !slices.ContainsFunc(im.remarks().warnings, func(w say.Note) bool {
		return w.Code == "ink-alternates-differ" && strings.Contains(w.Text, "the first is used for both")
	}) {
		t.Errorf("not reported: %v", im.remarks().warnings)
	}
	witness.NoComplaint(t, out)

	// A space that nothing paints in is in the file all the same.
	j = jobFor(spotLabel(t, "Plum", "0 .9 .3 .4", ""))
	j.Artworks = append(j.Artworks, job.Artwork{File: witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		`<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << /ColorSpace << /S [/Separation /Plum /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [1 0 0 0] >>] >> >>
/MediaBox [0 0 150.2362205 221.1023622] /TrimBox [4.2519685 4.2519685 145.9842520 216.8503937] >>`,
		witness.Stream("", "0 0 0 1 k 10 10 50 50 re f"),
	), Page: 1, Quantity: 1000})
	_, out = imposed(t, j)
	if got := separations(t, out); len(got) != 1 || got[0] != `"Plum" DeviceCMYK [0 0.9 0.3 0.4]` {
		t.Errorf("Separations %q, want the first artwork's Plum alone", got)
	}
}

// TestInkNamesKeepTheirBytes imposes names that are not UTF-8. 7.3.5 of ISO
// 32000-1 tells names apart byte by byte.
func TestInkNamesKeepTheirBytes(t *testing.T) {
	latin := spotLabel(t, "Gr#FCn", "1 0 1 0", "")
	_, out := imposed(t, jobFor(latin))
	if got := separations(t, out); len(got) != 1 || !strings.HasPrefix(got[0], `"Gr\xfcn"`) {
		t.Errorf("Separations %q, want only the artwork's bytes", got)
	}
	j := jobFor(latin) // with the same name in UTF-8, which wins
	j.Artworks = append(j.Artworks, job.Artwork{File: spotLabel(t, "Gr#C3#BCn", "1 0 1 0", ""), Page: 1, Quantity: 1000})
	_, out = imposed(t, j)
	if got := separations(t, out); len(got) != 1 || !strings.HasPrefix(got[0], `"Grün"`) {
		t.Errorf("Separations %q, want UTF-8 alone", got)
	}
	j = jobFor(latin)
	j.Inks.Silence = []string{"Grün"}
	_, out = imposed(t, j)
	if got := separations(t, out); len(got) != 1 || !strings.HasPrefix(got[0], `"None"`) {
		t.Errorf("Separations %q, want None", got)
	}
}

func TestIntentsMustAgree(t *testing.T) {
	intent := func(name string) string {
		return "/OutputIntents [<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (" + name + ") >>]"
	}
	j := jobFor(spotLabel(t, "Plum", "0 1 0 0", intent("Hedge coated")))
	j.Artworks = append(j.Artworks, job.Artwork{File: spotLabel(t, "Plum", "0 1 0 0", intent("Hedge film")), Page: 1, Quantity: 1000})
	_, err := Open(context.Background(), j)
	var bad *artwork.Error
	if !errors.As(err, &bad) || !strings.Contains(err.Error(), "Hedge coated") || !strings.Contains(err.Error(), "Hedge film") ||
		!strings.Contains(bad.Hint(), "conflict: warn") {
		t.Errorf("error %v", err)
	}
	j.Output.Conflict = job.Warn
	im, err := Open(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	if !slices.ContainsFunc(im.remarks().warnings, func(w say.Note) bool { return w.Code == "intents-differ" }) || im.intent.From != im.Pages[0] {
		t.Errorf("warnings %v", im.remarks().warnings)
	}
	j.Output.Condition, j.Output.Conflict = "Hedge press", job.Refuse
	if im, err = Open(context.Background(), j); err != nil || im.intent.Condition != "Hedge press" || im.intent.From != nil {
		t.Errorf("the job's own intent: %v, %+v", err, im.intent)
	}
	im.Close()
}

// mixedLabel is a label of 40 x 40 mm whose DeviceN mixes two spots.
func mixedLabel(t *testing.T, first, second string) string {
	t.Helper()
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		`<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << /ColorSpace << /M [/DeviceN [/`+first+` /`+second+`] /DeviceCMYK 5 0 R]
/S [/Separation /`+first+` /DeviceCMYK 6 0 R] /T [/Separation /`+second+` /DeviceCMYK 6 0 R] >> >> /MediaBox [0 0 120 120] /TrimBox [3 3 117 117] >>`,
		witness.Stream("", "/M cs .4 .8 scn 10 10 50 50 re f /S cs 1 scn 60 10 10 10 re f /T cs 1 scn 80 10 10 10 re f"),
		witness.Stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ pop 0 exch 0 0 }"),
		"<< /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 .2 .8 0] >>")
}

// ISO 32000-1 8.6.6.5: the colorants of a DeviceN are all different. An alias
// that would make two of them one is refused, and none such is advised.
func TestAliasesNeverMergeWhatOneSpaceMixes(t *testing.T) {
	path := mixedLabel(t, "Gold", "Silver")
	for _, aliases := range [][]job.Alias{{{From: "Gold", To: "Silver"}}, {{From: "Silver", To: "Gold"}}, {{From: "Gold", To: "Tin"}, {From: "Silver", To: "Tin"}}} {
		j := placingJob(path)
		j.Inks.Aliases = aliases
		im, err := Open(context.Background(), j)
		if err == nil {
			im.Close()
		}
		if say.KindOf(err) != say.BadFile || !strings.Contains(err.Error(), `"Gold" and "Silver"`) || say.Hint(err) == "" {
			t.Errorf("%v: %v", aliases, err)
		}
	}
	j := placingJob(path)
	j.Inks.Aliases = []job.Alias{{From: "Gold", To: "Tin"}}
	im, err := Open(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	im.Close()
	im, err = Open(context.Background(), placingJob(mixedLabel(t, "Gold", "gold")))
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	for _, w := range im.remarks().warnings {
		if w.Code == ink.NoteDouble && !strings.Contains(w.Text, "no alias can make them one") {
			t.Error(w.Text)
		}
	}
	if !slices.ContainsFunc(im.remarks().warnings, func(w say.Note) bool { return w.Code == ink.NoteDouble }) {
		t.Error("two inks that are likely one are not told")
	}
}

// One name in UTF-8 and in Latin-1 is two plates to a RIP: both become one, with
// a word, and the stations are those that the RIP will count.
func TestOneNameInTwoSpellingsIsOnePlate(t *testing.T) {
	witness.Need(t, "gs")
	const utf8, latin = "Gr#C3#BCn", "Gr#FCn"
	label := func(space string) string {
		return witness.Handwritten(t,
			"<< /Type /Catalog /Pages 2 0 R >>",
			"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
			"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << /ColorSpace << "+space+" >> >> /MediaBox [0 0 120 120] /TrimBox [3 3 117 117] >>",
			witness.Stream("", "/S cs 1 scn 10 10 50 50 re f /T cs 1 scn 80 10 10 10 re f"),
			"<< /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [1 0 1 0] >>")
	}
	path := label("/S [/Separation /" + latin + " /DeviceCMYK 5 0 R] /T [/Separation /" + utf8 + " /DeviceCMYK 5 0 R]")
	if n := len(witness.Plates(t, path, 1, 20)); n != 6 {
		t.Fatalf("the RIP makes %d plates of the artwork, not 4 and 2 spots", n)
	}
	im, err := Open(context.Background(), placingJob(path))
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	if !slices.ContainsFunc(im.remarks().warnings, func(w say.Note) bool { return w.Code == artwork.InkSpellings }) {
		t.Errorf("%v", im.remarks().warnings)
	}
	out := filepath.Join(t.TempDir(), "out.pdf")
	file, err := os.Create(out)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(im.WritePDF(context.Background(), file), file.Close()); err != nil {
		t.Fatal(err)
	}
	spots := 0
	for name := range witness.Plates(t, out, 1, 20) {
		if !ink.IsProcess(name) {
			spots++
		}
	}
	if printing := im.PrintingInks(); spots != 1 || len(printing) != 1 || printing[0].Name != "Grün" {
		t.Errorf("%d spot plates, stations %v", spots, printing)
	}
	// Where one space mixes both, they can't become one.
	_, err = Open(context.Background(), placingJob(mixedLabel(t, utf8, latin)))
	if err == nil || !strings.Contains(err.Error(), "two spellings") {
		t.Error(err)
	}
}

// TestSpellingsOfTwoArtworksAreTold: what is UTF-8 in one artwork and Latin-1 in
// another is one plate, with a word; two artworks of one spelling need none.
func TestSpellingsOfTwoArtworksAreTold(t *testing.T) {
	const look = "0 .2 .8 0"
	utf, latin := spotLabel(t, "Gr#C3#BCn", look, ""), spotLabel(t, "Gr#FCn", look, "")
	for _, c := range []struct {
		files []string
		told  bool
	}{{[]string{utf, latin}, true}, {[]string{latin, utf}, true}, {[]string{latin, latin}, false}, {[]string{utf, utf}, false}} {
		im, out := imposed(t, placingJob(c.files...))
		s, err := im.Summary(Written{})
		if err != nil {
			t.Fatal(err)
		}
		if warned(s, artwork.InkSpellings) != c.told {
			t.Errorf("%v: %v", c.files, s.Warnings)
		}
		if n := len(separations(t, out)); n != 1 {
			t.Errorf("%d spellings of one ink are in the file", n)
		}
	}
}
