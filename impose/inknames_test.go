package impose

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/pdfobj"
	"quoin/impose/summary"
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
	doc, err := pdfobj.OpenFile(path, pdfobj.Options{})
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
	if !slices.ContainsFunc(im.remarks().warnings, func(w summary.Note) bool {
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
	if !slices.ContainsFunc(im.remarks().warnings, func(w summary.Note) bool { return w.Code == "intents-differ" }) || im.intent.From != im.Pages[0] {
		t.Errorf("warnings %v", im.remarks().warnings)
	}
	j.Output.Condition, j.Output.Conflict = "Hedge press", job.Refuse
	if im, err = Open(context.Background(), j); err != nil || im.intent.Condition != "Hedge press" || im.intent.From != nil {
		t.Errorf("the job's own intent: %v, %+v", err, im.intent)
	}
	im.Close()
}
