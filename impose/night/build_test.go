package night

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night/folder"
	"quoin/impose/summary"
	"quoin/impose/wholefile"
	"quoin/impose/witness"
)

// desk is a folder with the samples' artworks and an order file.
func desk(t *testing.T, csv string) (dir string, all []job.Order, r *Rules) {
	t.Helper()
	dir = t.TempDir()
	for _, name := range []string{"juice", "cider", "perry"} {
		data, err := os.ReadFile("../../samples/artwork/orchard-" + name + ".pdf")
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".pdf"), data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	all, err := job.ParseOrders(filepath.Join(dir, "orders.csv"), []byte(csv))
	if err != nil {
		t.Fatal(err)
	}
	r = rules()
	six, five := 6*mm, 5*mm
	r.House.TargetLane, r.House.Edge, r.House.Name, r.PlanOnly = &six, &five, "desk", false
	r.House.Repeat.Longest = 240 * mm
	return dir, all, r
}

func openFolder(t *testing.T, place string) *folder.Folder {
	t.Helper()
	f, err := folder.Open(place, "k")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

const deskOrders = `order,quantity,artwork,product,material
1,900,juice.pdf,Juice,film
2,500,perry.pdf,"Perry <b>""&",film
3,700,cider.pdf,,paper
`

func TestRunsAreImposedWithTheirOrdersInTheirLanes(t *testing.T) {
	qpdf := witness.Need(t, "qpdf")
	dir, all, r := desk(t, deskOrders)
	r.Verify = true
	f := openFolder(t, filepath.Join(dir, "night"))
	p, err := Make(t.Context(), all, r, f)
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Build(t.Context(), f); err != nil {
		t.Fatal(err)
	}
	if err := p.Report(f); err != nil {
		t.Fatal(err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	if len(p.Runs) != 2 || len(p.Unplanned) > 0 {
		t.Fatalf("%d runs, left out %v", len(p.Runs), p.Unplanned)
	}
	for _, run := range p.Runs {
		path := filepath.Join(dir, "night", run.Name)
		if out, err := exec.Command(qpdf, "--check", path+".pdf").CombinedOutput(); err != nil {
			t.Errorf("qpdf: %v\n%s", err, out)
		}
		data, err := os.ReadFile(path + ".json")
		if err != nil {
			t.Fatal(err)
		}
		var s summary.Summary
		if err := json.Unmarshal(data, &s); err != nil {
			t.Fatal(err)
		}
		if s.Run.Frames != run.Frames || len(s.Artworks) != len(run.Orders) || s.Layout.Across != run.Lanes {
			t.Errorf("%s: the summary has %d frames, the plan %d", run.Name, s.Run.Frames, run.Frames)
		}
		for i, a := range s.Artworks {
			o := run.Orders[i]
			if len(a.Lanes) != int(o.Lanes) || a.Labels != o.Labels || a.Ordered != o.Ordered || !strings.HasPrefix(a.Product, o.Order+" ") {
				t.Errorf("%s: %+v in the summary, %+v in the plan", run.Name, a, o)
			}
			sum, err := wholefile.SHA256(filepath.Join(dir, o.Artwork))
			if err != nil || o.SHA256 != sum {
				t.Errorf("%s: artwork %s, want %s (%v)", run.Name, o.SHA256, sum, err)
			}
		}
		if run.Files[0].SHA256 != f.Sum(run.Name+".pdf") || run.Files[0].SHA256 == "" {
			t.Errorf("%s: files %+v", run.Name, run.Files)
		}
	}
}

// TestSearchOfAnEarlierStartIsTakenOver: a night that was broken off behind its
// search gives the same plan without searching, whatever a search would find.
func TestSearchOfAnEarlierStartIsTakenOver(t *testing.T) {
	dir, all, r := desk(t, deskOrders)
	place := filepath.Join(dir, "night")
	f := openFolder(t, place)
	first, err := Make(t.Context(), all, r, f)
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	searched := false
	r.Tell = func(stage string, _, _ int) { searched = searched || stage == "groups proved" }
	g := openFolder(t, place)
	second, err := Make(t.Context(), all, r, g)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := text(t, first), text(t, second); a != b || searched {
		t.Errorf("searched again: %v\n%s\n%s", searched, a, b)
	}
	// A draft that doesn't suit the orders is not believed.
	g.Close()
	h := openFolder(t, place)
	all[0].Quantity *= 3
	third, err := Make(t.Context(), all, r, h)
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, third, all)
	if !searched {
		t.Error("the draft of other orders was taken over")
	}
}

func text(t *testing.T, p *Plan) string {
	t.Helper()
	var b strings.Builder
	if err := p.Text(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestOneRunThatFailsStopsNoOther(t *testing.T) {
	dir, all, r := desk(t, deskOrders)
	f := openFolder(t, filepath.Join(dir, "night"))
	p, err := Make(t.Context(), all, r, f)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(dir, "cider.pdf")); err != nil { // after it was looked at
		t.Fatal(err)
	}
	if err := p.Build(t.Context(), f); err != nil {
		t.Fatal(err)
	}
	if len(p.Runs) != 1 || codeOfOrder(p.Unplanned, "3") != BadArtwork || p.Total.Orders != 2 || p.Total.Runs != 1 {
		t.Errorf("%d runs, left out %v, total %+v", len(p.Runs), p.Unplanned, p.Total)
	}
	if p.Alone.Runs != 2 {
		t.Errorf("set beside %d orders alone", p.Alone.Runs)
	}
}

func TestCancelledNightKeepsWhatIsFinished(t *testing.T) {
	dir, all, r := desk(t, deskOrders)
	f := openFolder(t, filepath.Join(dir, "night"))
	p, err := Make(t.Context(), all, r, f)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := p.Build(ctx, f); !errors.Is(err, ctx.Err()) {
		t.Errorf("a cancelled night ends with %v", err)
	}
}

func TestKeyChangesWithWhatTheNightDependsOn(t *testing.T) {
	dir, all, _ := desk(t, deskOrders)
	inputs := []summary.File{{Role: "orders", Path: "orders.csv", SHA256: "1"}}
	key := func(words ...string) string {
		k, err := Key(t.Context(), inputs, all, words)
		if err != nil {
			t.Fatal(err)
		}
		return k
	}
	keys := []string{key("a"), key("b")}
	inputs[0].SHA256 = "2"
	keys = append(keys, key("a"))
	if err := os.WriteFile(filepath.Join(dir, "cider.pdf"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	keys = append(keys, key("a"))
	os.Remove(filepath.Join(dir, "cider.pdf"))
	keys = append(keys, key("a"))
	if again := key("a"); again != keys[4] {
		t.Error("the same night has two keys")
	}
	slices.Sort(keys)
	if len(slices.Compact(keys)) != 5 {
		t.Errorf("keys %q", keys)
	}
}

// TestReportIsOnePageForEveryone reads the page as a browser does, and holds it
// to what assistive technology needs: a language, captions, headers with their
// scope, lists that say what they are. Nothing comes from elsewhere.
func TestReportIsOnePageForEveryone(t *testing.T) {
	_, all, r := desk(t, deskOrders)
	r.Day = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
	limit := 10 * geometry.Percent
	r.Overs = &limit
	p := plan(t, all, r)
	p.Runs[0].Warnings = []summary.Note{{Code: "mixed-lane", Text: "several products share lane 6"}}
	p.LeaveOut([]Note{{"4", BadOrder, "orders.csv:5:2: quantity: is missing"}})
	if err := p.Curves(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := p.Compared(t.Context(), all); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := p.HTML(&b); err != nil {
		t.Fatal(err)
	}
	page := b.String()
	for _, part := range []string{"Perry &lt;b&gt;", "What each rule costs", "Runs against metres", "Left out", "quantity: is missing", "share lane 6", "every order alone"} {
		if !strings.Contains(page, part) {
			t.Errorf("the page says nothing of %q", part)
		}
	}
	d := xml.NewDecoder(&b)
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	open, captions, tables := 0, 0, 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		open++
		has := map[string]string{}
		for _, a := range start.Attr {
			has[a.Name.Local] = a.Value
		}
		wants := map[string]string{"html": "lang", "th": "scope", "ol": "aria-label", "section": "aria-labelledby"}[start.Name.Local]
		if _, ok := has[wants]; wants != "" && !ok {
			t.Errorf("a <%s> has no %s", start.Name.Local, wants)
		}
		switch start.Name.Local {
		case "table":
			tables++
		case "caption":
			captions++
		case "script", "img", "link", "iframe":
			t.Errorf("the page has a <%s>", start.Name.Local)
		}
		if href := has["href"]; strings.Contains(href, ":") || has["src"] != "" {
			t.Errorf("the page points elsewhere: %s%s", href, has["src"])
		}
	}
	if tables < 6 || captions != tables {
		t.Errorf("%d tables, %d captions, %d elements", tables, captions, open)
	}
}

func TestLaneMap(t *testing.T) {
	run := Run{Lanes: 3, Rows: 4, Orders: []Share{{Order: "a", Stations: 6}, {Order: "b", Stations: 1}}}
	got := fmt.Sprint(run.LaneMap())
	if want := "[{1 [a] 0} {2 [a b] 0} {3 [] 0}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// TestKeptRunsAreProvedToo: a start that is told to verify looks at what an
// earlier start left without looking, and makes again what is not as planned.
func TestKeptRunsAreProvedToo(t *testing.T) {
	dir, all, r := desk(t, deskOrders)
	place := filepath.Join(dir, "night")
	build := func() (*Plan, *folder.Folder) {
		f := openFolder(t, place)
		p, err := Make(t.Context(), all, r, f)
		if err != nil {
			t.Fatal(err)
		}
		if err := p.Build(t.Context(), f); err != nil {
			t.Fatal(err)
		}
		return p, f
	}
	first, f := build()
	good := first.Runs[0].Files[0].SHA256
	// The other run's PDF under the first one's name: a true file, the wrong one.
	swap := func(f *folder.Folder, p *Plan) {
		data, err := os.ReadFile(f.Path(p.Runs[1].pdf()))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write(p.Runs[0].pdf(), func(w io.Writer) error { _, err := w.Write(data); return err }); err != nil {
			t.Fatal(err)
		}
	}
	swap(f, first)
	if err := first.Prove(t.Context(), f); err == nil || !strings.Contains(err.Error(), "run-001.pdf is not as planned") {
		t.Errorf("the wrong file is proved: %v", err)
	}
	f.Close()
	r.Verify = true
	second, f := build()
	if got := second.Runs[0].Files[0].SHA256; got != good {
		t.Errorf("the wrong file was kept: %s, want %s", got, good)
	}
	if err := second.Prove(t.Context(), f); err != nil {
		t.Error(err)
	}
}
