package witness

import (
	"fmt"
	"image"
	"image/color"
	"maps"
	"os"
	"os/exec"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// page is a one-page PDF, 100 x 60 pt, with its own content and resources.
func page(t *testing.T, resources, content string) string {
	return Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 100 60] /Contents 4 0 R /Resources << "+resources+" >> >>",
		Stream("", content),
		"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 .2 .9 0] /N 1 >>")
}

func TestRenderersAgreeOnASimplePage(t *testing.T) {
	path := page(t, "", "1 0 0 rg 10 10 20 20 re f 0 0 1 rg 60 20 30 30 re f")
	for name, render := range map[string]func(testing.TB, string, int, float64, ...Option) image.Image{
		"MuPDF": MuPDF, "Poppler": Poppler, "Ghostscript": Ghostscript,
	} {
		for _, options := range [][]Option{nil, {NoAntialias}} {
			img := render(t, path, 1, 144, options...)
			if img.Bounds().Dx() != 200 || img.Bounds().Dy() != 120 {
				t.Fatalf("%s: %v, want 200 x 120 pixels", name, img.Bounds())
			}
			at := func(x, y int) string { return fmt.Sprint(color.NRGBAModel.Convert(img.At(x, y))) }
			// PDF point (20, 20) is pixel (40, 80): y runs down in pictures.
			if at(40, 80) != "{255 0 0 255}" || at(150, 50) != "{0 0 255 255}" || at(2, 2) != "{255 255 255 255}" {
				t.Errorf("%s %v: red %s blue %s paper %s", name, options, at(40, 80), at(150, 50), at(2, 2))
			}
		}
	}
}

func TestPlatesCarryTheNamesAndAmountsOfTheInks(t *testing.T) {
	path := page(t,
		"/ColorSpace << /A [/Separation /Quince#20Gold /DeviceCMYK 5 0 R] /B [/Separation /Hedge#2FGr#C3#BCn#20#281#29 /DeviceCMYK 5 0 R] >>"+
			" /ExtGState << /O << /OP true /op true /OPM 1 >> >>",
		"1 0 0 0 k 0 0 50 60 re f /A cs 1 scn 0 0 25 30 re f /O gs /B cs .5 scn 25 0 25 30 re f")
	plates := Plates(t, path, 1, 72)
	names := []string{"Cyan", "Magenta", "Yellow", "Black", "Quince Gold", "Hedge/Grün (1)"}
	if len(plates) != len(names) {
		t.Errorf("%d plates, want %d", len(plates), len(names))
	}
	for _, c := range []struct {
		x, y int
		want [6]int // in per cent, in the order of names
	}{
		{10, 10, [6]int{100, 0, 0, 0, 0, 0}},
		{10, 50, [6]int{0, 0, 0, 0, 100, 0}},  // knocks out
		{40, 50, [6]int{100, 0, 0, 0, 0, 50}}, // overprints
		{80, 30, [6]int{}},
	} {
		for i, name := range names {
			plate := plates[name]
			if plate == nil {
				t.Fatalf("no plate %q", name)
			}
			if got := int(plate.GrayAt(c.x, c.y).Y); got < c.want[i]*255/100-1 || got > c.want[i]*255/100+1 {
				t.Errorf("%s at (%d, %d): %d of 255, want %d %%", name, c.x, c.y, got, c.want[i])
			}
		}
	}
}

// Ghostscript 10.00 lost the spots of such a page when it was asked for the
// page by its number.
func TestPlatesOfAPageWithTransparency(t *testing.T) {
	path := page(t,
		"/ColorSpace << /A [/Separation /Quince#20Gold /DeviceCMYK 5 0 R] >> /ExtGState << /Half << /ca .5 >> >>",
		"/A cs 1 scn 0 0 50 60 re f /Half gs 1 0 0 0 k 50 0 50 60 re f")
	plates := Plates(t, path, 1, 72)
	if got := plates["Quince Gold"].GrayAt(25, 30).Y; got != 255 {
		t.Errorf("the spot is %d of 255", got)
	}
	if got := plates["Cyan"].GrayAt(75, 30).Y; got < 127 || got > 128 {
		t.Errorf("half of cyan is %d of 255", got)
	}
}

// TestPlatesTogether: files that are separated in one run have the plates that each
// has alone, with no ink of the others.
func TestPlatesTogether(t *testing.T) {
	spot := "/ColorSpace << /A [/Separation /%s /DeviceCMYK 5 0 R] >> /ExtGState << /Half << /ca .5 >> >>"
	files := []string{
		page(t, fmt.Sprintf(spot, "Quince"), "/A cs 1 scn 0 0 50 60 re f"),
		page(t, fmt.Sprintf(spot, "Plum"), "/A cs 1 scn 0 0 50 60 re f /Half gs 1 0 0 0 k 50 0 50 60 re f"),
		page(t, "", "0 1 0 0 k 20 10 30 40 re f"),
		page(t, fmt.Sprintf(spot, "Quince"), "/A cs .5 scn 30 0 50 60 re f"),
	}
	together := PlatesTogether(t, 72, files...)
	if len(together) != len(files) {
		t.Fatalf("%d pages of %d files", len(together), len(files))
	}
	for i, file := range files {
		alone := Plates(t, file, 1, 72)
		if got, want := slices.Sorted(maps.Keys(together[i])), slices.Sorted(maps.Keys(alone)); !slices.Equal(got, want) {
			t.Errorf("file %d has the plates %v, want %v", i, got, want)
			continue
		}
		for ink, plate := range alone {
			if !slices.Equal(together[i][ink].Pix, plate.Pix) {
				t.Errorf("file %d: %s differs", i, ink)
			}
		}
	}
}

func TestQPDFJSONWalksTheObjects(t *testing.T) {
	q := QPDFJSON(t, page(t, "", "0 g"))
	if got := fmt.Sprint(q.Get("Root", "Pages", "Kids", 0, "MediaBox")); got != "[0 0 100 60]" {
		t.Errorf("MediaBox %s", got)
	}
	if got := q.Get("Root", "Pages", "Kids", 1); got != nil {
		t.Errorf("a page that isn't there is %v", got)
	}
	contents := q.Object("3 0 R").(map[string]any)["/Contents"].(string)
	if got := string(q.Raw(contents)); got != "0 g" {
		t.Errorf("raw data %q", got)
	}
	if got := string(q.Data(contents)); got != "0 g" {
		t.Errorf("data %q", got)
	}
	if got := q.From(q.Object(contents), "Length"); got != 3.0 {
		t.Errorf("Length %v", got)
	}
}

func TestFaultsAreTold(t *testing.T) {
	good := page(t, "", "0 g 1 1 5 5 re f")
	if said := hear(t, func(tb testing.TB) { QPDFCheck(tb, good); NoComplaint(tb, good) }); said != "" {
		t.Errorf("a sound file: %s", said)
	}
	bad := Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] /Contents 4 0 R >>",
		"<< /Length 99999 >>\nstream\n0 g BadOperator\nendstream")
	for name, check := range map[string]func(testing.TB){
		"QPDFCheck":            func(tb testing.TB) { QPDFCheck(tb, bad) },
		"NoComplaint":          func(tb testing.TB) { NoComplaint(tb, bad) },
		"Plates":               func(tb testing.TB) { Plates(tb, bad, 1, 72) },
		"MuPDF":                func(tb testing.TB) { MuPDF(tb, good, 2, 72) },
		"Poppler":              func(tb testing.TB) { Poppler(tb, good, 2, 72) },
		"Plates, no such page": func(tb testing.TB) { Plates(tb, good, 2, 72) },
		"Ghostscript":          func(tb testing.TB) { Ghostscript(tb, good, 2, 72) },
	} {
		if said := hear(t, check); said == "" {
			t.Errorf("%s had no complaint", name)
		}
	}
}

func TestAMissingToolSkipsOrFails(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	t.Setenv("CI", "")
	if said := hear(t, func(tb testing.TB) { Need(tb, "zbarimg") }); said != "skip: the outside tool zbarimg is missing: apt-get install zbar-tools" {
		t.Error(said)
	}
	t.Setenv("CI", "true")
	if said := hear(t, func(tb testing.TB) { Need(tb, "zbarimg") }); said != "the outside tool zbarimg is missing: apt-get install zbar-tools" {
		t.Error(said)
	}
	if said := hear(t, func(tb testing.TB) { Need(tb, "abacus") }); !strings.Contains(said, "not in the table") {
		t.Error(said)
	}
}

// TestOnlyTestsImportWitness keeps the test tools out of the program.
func TestOnlyTestsImportWitness(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "quoin/...").CombinedOutput()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, out)
	}
	for line := range strings.Lines(string(out)) {
		words := strings.Fields(line)
		for _, imported := range words[1:] {
			if imported == "quoin/impose/witness" {
				t.Errorf("%s imports witness outside its tests", words[0])
			}
		}
	}
}

// TestCIInstallsEveryTool keeps .ci/run and the table of tools together.
func TestCIInstallsEveryTool(t *testing.T) {
	script, err := os.ReadFile("../../.ci/run")
	if err != nil {
		t.Fatal(err)
	}
	for tool, pkg := range debian {
		if !regexp.MustCompile(`(?m)^\t` + regexp.QuoteMeta(pkg) + `\s+# `).Match(script) {
			t.Errorf("%s needs the package %s, which .ci/run doesn't install", tool, pkg)
		}
	}
}

// hear runs a check against a test that only listens and returns what the
// check said, "" if nothing.
func hear(t *testing.T, check func(testing.TB)) string {
	ear := &listener{TB: t}
	done := make(chan struct{})
	go func() { // Fatal and Skip end their goroutine
		defer close(done)
		check(ear)
	}()
	<-done
	return ear.said
}

type listener struct {
	testing.TB
	said string
}

func (l *listener) Helper() {}

func (l *listener) Errorf(format string, args ...any) { l.said += fmt.Sprintf(format, args...) }

func (l *listener) Fatalf(format string, args ...any) { l.Fatal(fmt.Sprintf(format, args...)) }

func (l *listener) Fatal(args ...any) {
	l.said += fmt.Sprint(args...)
	runtime.Goexit()
}

func (l *listener) Skip(args ...any) {
	l.said += "skip: " + fmt.Sprint(args...)
	runtime.Goexit()
}
