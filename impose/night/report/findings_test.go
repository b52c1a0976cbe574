package report

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"quoin/impose/artwork"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/plan"
	"quoin/impose/say"
	"quoin/impose/witness/schemas"
)

// nightOf returns a plan of so many runs of two orders each, all with the same
// five findings.
func nightOf(runs int) *plan.Plan {
	p := &plan.Plan{Groups: []plan.GroupPart{{Group: 1}}}
	for i := range runs {
		a, b := fmt.Sprintf("A%03d", i), fmt.Sprintf("B%03d", i)
		p.Runs = append(p.Runs, plan.Run{Group: 1, Name: fmt.Sprintf("run-%03d", i+1), Orders: []plan.Share{{Order: a}, {Order: b}}, Warnings: []say.Note{
			{Code: "lane-number-room", Text: fmt.Sprintf("no lane numbers: labels leave %d.5 mm, and need 2.68 mm", i)},
			{Code: "rolls-not-full", Text: fmt.Sprintf("not all rolls are full as ordered (product 2: %d of 1,018): the rests are not joined", i)},
			{Code: "drug-label", Text: "DRUG LABEL: count the labels"},
		}})
		p.Unplanned = append(p.Unplanned, night.NoteOn(fmt.Sprintf("C%03d", i), night.BadOrder, `o.csv:%d:3: quantity: "x%d" is not a whole number`, i+2, i))
		p.Notes = append(p.Notes, night.NoteOn(b, night.LongWeb, "%d,000,000 labels are 117 km of web (check the quantity)", i+1))
	}
	return p
}

// TestANightSaysEachThingOnce: five findings are five lines, whether three runs
// have them or three hundred, with a count and the orders, the most serious first.
func TestANightSaysEachThingOnce(t *testing.T) {
	for _, runs := range []int{3, 300} {
		p := nightOf(runs)
		got := Warnings(p)
		var codes []string
		for _, f := range Findings(p) {
			codes = append(codes, f.Code)
			if f.Count != runs {
				t.Errorf("%s was found %d times, not %d", f.Code, f.Count, runs)
			}
			each := runs
			if f.Code == "drug-label" || f.Code == "lane-number-room" {
				each = 2 * runs
			}
			if len(f.Orders) != each || f.Same != (f.Code == "drug-label") {
				t.Errorf("%s names %d orders, not %d; the same %v", f.Code, len(f.Orders), each, f.Same)
			}
		}
		if want := []string{night.BadOrder, "drug-label", "lane-number-room", night.LongWeb, "rolls-not-full"}; !slices.Equal(codes, want) {
			t.Errorf("%v, want %v", codes, want)
		}
		if len(got) != 5 {
			t.Fatalf("%d lines:\n%s", len(got), strings.Join(got, "\n"))
		}
		if runs == 300 && !strings.HasPrefix(got[4], "300 runs, 300 orders (B000, B001, B002, B003, B004, B005, B006, B007, B008, B009, B010, B011 and 288 more): the first, in run-001: not all rolls") {
			t.Error(got[4])
		}
		if runs == 3 && !strings.HasPrefix(got[0], `orders C000, C001, C002 are left out: the first: o.csv:2:3: quantity: "x0"`) {
			t.Error(got[0])
		}
		if said := text(t, p); strings.Count(said, "DRUG LABEL") != 1 || strings.Count(said, "look at: lane-number-room, rolls-not-full, drug-label") != runs {
			t.Errorf("the report of %d runs says a thing more often than once", runs)
		}
	}
}

// TestWordsOfAnOrderFile: a thousand lines that are there twice are one line.
func TestWordsOfAnOrderFile(t *testing.T) {
	var words []job.Fault
	for i := range 1000 {
		words = append(words, job.Fault{Position: job.Position{Path: "x/o.csv", Line: i + 2, Col: 1}, Record: fmt.Sprint(i), What: fmt.Sprintf("order: %d is in line 3 too", i)})
	}
	if got := Words(words); len(got) != 1 || !strings.HasPrefix(got[0], "1,000 orders (0, 1, 2") || !strings.HasSuffix(got[0], "the first: o.csv:2:1: order: 0 is in line 3 too") {
		t.Error(got)
	}
}

// TestFindingsKeepTheirSchema: the plan as it is printed is what its schema says.
func TestFindingsKeepTheirSchema(t *testing.T) {
	file, err := os.ReadFile("../plan/schema/plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	p := made(t, nighttest.Orders(t, "order,quantity,label\nA,10000,50x75mm\nB,100,900x900mm\n"), nighttest.Rules())
	p.Runs[0].Warnings = []say.Note{{Code: "drug-label", Text: "DRUG LABEL"}}
	var b bytes.Buffer
	if err := JSON(&b, p); err != nil {
		t.Fatal(err)
	}
	if strings.Count(b.String(), `"same": true`) != 2 {
		t.Errorf("not two findings: %s", b.String())
	}
	doc, err := jsonschema.UnmarshalJSON(&b)
	if err != nil {
		t.Fatal(err)
	}
	if err := schemas.Schema(t, file).Validate(doc); err != nil {
		t.Error(err)
	}
}

// TestPlatesAreOneLineForEachKind: what is found on the plates has other places and
// inks on each artwork, and is one line with the orders whose artworks have it.
func TestPlatesAreOneLineForEachKind(t *testing.T) {
	p := nightOf(3)
	for i := range p.Runs {
		p.Runs[i].Warnings = []say.Note{
			{Code: artwork.NearCut, Text: fmt.Sprintf("product 2: text stands 0.%d mm from the cut, on the left", i)},
			{Code: artwork.NearCut, Text: "product 2: a bar, a line or a letter drawn as an outline stands 0.4 mm from the cut"},
			{Code: artwork.BleedEmpty, Text: "product 1: the bleed is empty on the top"},
		}
	}
	found := map[string]Finding{}
	for _, f := range Findings(p) {
		if found[f.Code].Code != "" && night.OfPlates(f.Code) {
			t.Errorf("%s is two lines", f.Code)
		}
		found[f.Code] = f
	}
	near, bleed := found[artwork.NearCut], found[artwork.BleedEmpty]
	if near.Count != 6 || len(near.Runs) != 3 || fmt.Sprint(near.Orders) != "[B000 B001 B002]" || near.Same {
		t.Errorf("near the cut: %+v", near)
	}
	if fmt.Sprint(bleed.Orders) != "[A000 A001 A002]" || !bleed.Same {
		t.Errorf("the bleed: %+v", bleed)
	}
}
