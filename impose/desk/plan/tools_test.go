package plan

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/desk/edit"
)

// TestLaserIsOffered: the press's laser stands among the tools, with the rows that
// its strokes cut, and taking it gives the frame that was said.
func TestLaserIsOffered(t *testing.T) {
	b, job, tools := toolsWith(t, func(press string) string {
		return strings.Replace(press, "{kind: laser, width: 330mm}", "{kind: laser, width: 330mm, stroke: 200mm}", 1)
	})
	for _, g := range tools.Groups {
		if g.Title != "By laser" {
			continue
		}
		// 6 x 50 + 5 x 3 = 315 mm; two rows of 78.175 mm reach 153.175 mm.
		o := g.Options[0]
		if !o.Fits || o.Across != 6 || o.Around != 12 || o.Strokes != 6 {
			t.Fatalf("%+v", o.Layout)
		}
		values := map[string]string{}
		for _, e := range o.Edits {
			values[e.Key] = e.Value
		}
		if values["lanes"] != "6" || values["rows"] != "12" {
			t.Errorf("taken by %v", o.Edits)
		}
		taken, err := edit.Apply(job, Order, o.Edits...)
		if err != nil {
			t.Fatal(err)
		}
		if r, err := b.Plan(context.Background(), taken); err != nil || !r.Planned() || r.Summary.Layout.Across != 6 || r.Summary.Layout.Around != 12 {
			t.Errorf("taken: %v, %+v", err, r.Faults)
		}
		return
	}
	t.Errorf("no laser among %+v", tools.Groups)
}

// TestFlatToolsAreOffered: new tools of the press's flat-bed and semi-rotary stations
// stand among the tools at their own prices, and taking one gives its frame.
func TestFlatToolsAreOffered(t *testing.T) {
	b, job, tools := toolsWith(t, func(press string) string {
		return press + "\nprices: {currency: EUR, web: 0.45/m2, press: 160/h, tool: 420, tools: [{station: flat-bed, price: 180}, {station: semi-rotary, price: 260}]}\n"
	})
	seen := map[string]Option{}
	for _, g := range tools.Groups {
		for _, o := range g.Options {
			if g.Title == "New tools, semi-rotary and flat-bed" {
				seen[o.Name] = o
			}
		}
	}
	// A stroke of 350 mm takes four rows of 78.175 mm. One of 480 mm takes six, but with
	// five the last frame is shorter.
	flat, semi := seen["New flat-bed tool"], seen["New semi-rotary tool"]
	if flat.Across != 6 || flat.Around != 12 || flat.Strokes != 3 || semi.Around != 10 || semi.Strokes != 2 || len(seen) != 2 {
		t.Fatalf("%+v", seen)
	}
	for o, tool := range map[*Option]float64{&flat: 180, &semi: 260} {
		if want := o.WebM2*0.45 + o.PressMin*160/60 + tool; math.Abs(o.Cost-want) > 0.01 || o.More == nil || math.Abs(*o.More-(want-tools.Now.Cost)) > 0.01 {
			t.Errorf("%s costs %v, %v is right", o.Name, o.Cost, want)
		}
	}
	taken, err := edit.Apply(job, Order, flat.Edits...)
	if err != nil {
		t.Fatal(err)
	}
	r, err := b.Plan(context.Background(), taken)
	if err != nil || !r.Planned() || r.Summary.Layout.Across != 6 || r.Summary.Layout.Around != 12 || r.Summary.Layout.RepeatMM != flat.RepeatMM {
		t.Errorf("taken: %v, %+v", err, r.Faults)
	}
}

// toolsWith returns the tools of the folder's job where its press file is changed.
func toolsWith(t *testing.T, change func(press string) string) (b *Bench, job []byte, tools *Tools) {
	t.Helper()
	f := opened(t)
	press := filepath.Join(f.Path, "press.yaml")
	text, err := os.ReadFile(press)
	if err != nil {
		t.Fatal(err)
	}
	changed := change(string(text))
	if changed == string(text) {
		t.Fatal("the press has nothing to change")
	}
	if err := os.WriteFile(press, []byte(changed), 0o644); err != nil {
		t.Fatal(err)
	}
	if job, err = os.ReadFile(filepath.Join(f.Path, "job.yaml")); err != nil {
		t.Fatal(err)
	}
	b = NewBench(f, "job.yaml", compares(t))
	t.Cleanup(func() { b.Close() })
	if tools, err = b.Tools(context.Background(), job); err != nil {
		t.Fatal(err)
	}
	return b, job, tools
}
