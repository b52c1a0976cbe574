package build

import (
	"fmt"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/impose/alike"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/plan"
	"quoin/impose/night/report"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/witness"
)

// strength writes a label of 50 x 75 mm of one colour, on which a black bar of so
// many points stands where a drug label says its strength.
func strength(t *testing.T, path, colour string, bar int) {
	t.Helper()
	name := witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << >> /MediaBox [0 0 153.07 223.94] /TrimBox [5.67 5.67 147.4 218.27] /BleedBox [0 0 153.07 223.94] >>",
		witness.Stream("", fmt.Sprintf("%s k 0 0 153.07 223.94 re f 0 0 0 1 k 30 100 %d 8 re f", colour, bar)))
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
}

// TestLookAlikesStandApart: two labels differ by a bar of 20 points. They would
// stand side by side, as they take the most lanes, and the third label goes between
// them. The run says so, with a picture; a second start finds the same.
func TestLookAlikesStandApart(t *testing.T) {
	dir, all, r := nighttest.Desk(t, "order,quantity,artwork\n1,3600,juice.pdf\n2,3600,cider.pdf\n3,1800,perry.pdf\n")
	strength(t, filepath.Join(dir, "juice.pdf"), "0 .4 .4 0", 20)
	strength(t, filepath.Join(dir, "cider.pdf"), "0 .4 .4 0", 40)
	strength(t, filepath.Join(dir, "perry.pdf"), ".6 0 .6 0", 20)
	build := func(again bool) *plan.Plan {
		f := nighttest.Folder(t, filepath.Join(dir, "night"))
		if again == (f.Kept() == 0) {
			t.Fatalf("%d files are kept", f.Kept())
		}
		p, err := plan.Make(t.Context(), all, r, f)
		if err != nil {
			t.Fatal(err)
		}
		if err := Runs(t.Context(), f, p, r, nil); err != nil {
			t.Fatal(err)
		}
		if len(p.Runs) != 1 {
			t.Fatalf("%d runs: %v", len(p.Runs), p.Unplanned)
		}
		for _, name := range []string{"run-001-alike-1.jpg"} {
			file, err := os.Open(f.Path(name))
			if err != nil {
				t.Fatal(err)
			}
			if img, err := jpeg.Decode(file); err != nil || img.Bounds().Dx() < 50 {
				t.Errorf("%v, %v", img.Bounds(), err)
			}
			file.Close()
		}
		f.Close()
		return p
	}
	for _, again := range []bool{false, true} {
		p := build(again)
		run := p.Runs[0]
		var order []string
		for _, s := range run.Orders {
			order = append(order, s.Order)
		}
		if got := strings.Join(order, " "); got != "1 3 2" {
			t.Errorf("lanes of %s, want 1 3 2", got)
		}
		i := slices.IndexFunc(run.Warnings, func(n say.Note) bool { return n.Code == alike.Code })
		if i < 0 {
			t.Fatalf("no warning: %v", run.Warnings)
		}
		// The bar is 20 x 8 points of 141.7 x 212.6: 0.53 %.
		if text := run.Warnings[i].Text; !strings.HasPrefix(text, "product 1 (1 juice) and product 3 (2 cider), in lanes ") || !strings.Contains(text, "differ in 0.5") || !strings.Contains(text, "run-001-alike-1.jpg") || !strings.Contains(text, "drugs and allergens") {
			t.Error(text)
		}
		if !slices.ContainsFunc(run.Files, func(f summary.File) bool { return f.Role == "look-alikes" && f.SHA256 != "" }) {
			t.Errorf("files %v", run.Files)
		}
		var page strings.Builder
		if err := report.HTML(&page, p); err != nil || !strings.Contains(page.String(), `<a href="run-001-alike-1.jpg">Look-alikes</a>`) {
			t.Errorf("the report leads to no picture of them (%v)", err)
		}
	}
	if night.Rank(alike.Code) != 0 {
		t.Error("look-alikes are not among the most serious")
	}
}

// TestClosestLookAlikesStandApart: of three labels that look alike two pairs must be
// neighbours; bars of 20 and of 30 points are told apart worst.
func TestClosestLookAlikesStandApart(t *testing.T) {
	dir, all, r := nighttest.Desk(t, "order,quantity,artwork\n1,3600,juice.pdf\n2,3600,cider.pdf\n3,1800,perry.pdf\n")
	for name, bar := range map[string]int{"juice.pdf": 20, "cider.pdf": 30, "perry.pdf": 60} {
		strength(t, filepath.Join(dir, name), "0 .4 .4 0", bar)
	}
	f := nighttest.Folder(t, filepath.Join(dir, "night"))
	defer f.Close()
	p, err := plan.Make(t.Context(), all, r, f)
	if err != nil {
		t.Fatal(err)
	}
	if err := Runs(t.Context(), f, p, r, nil); err != nil || len(p.Runs) != 1 {
		t.Fatalf("%d runs: %v", len(p.Runs), err)
	}
	pairs := 0
	for _, n := range p.Runs[0].Warnings {
		if n.Code == alike.Code {
			pairs += strings.Count(n.Text, "differ in")
		}
	}
	if orders := p.Runs[0].Orders; pairs != 3 || len(orders) != 3 || orders[1].Order != "3" {
		t.Errorf("%d pairs; order %s is in the middle", pairs, orders[1].Order)
	}
}
