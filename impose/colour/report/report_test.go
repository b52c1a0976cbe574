package report_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"quoin/impose/colour"
	"quoin/impose/colour/report"
	"quoin/impose/witness"
)

// A spot whose name is markup, a long one, and one in another script.
const summary = `{"schema":"quoin/summary/1","job":"A <b>job</b> & more","layout":{"repeat_mm":500,"web_mm":300},
"run":{"frames":2000,"speed_m_per_min":60,"printing_inks":3},
"inks":[{"name":"<i>Plum</i>","kind":"spot"},{"name":"A spot whose name goes on and on","kind":"spot"},{"name":"Grün","kind":"spot"}],
"targets":[
{"number":1,"what":"solid","inks":[{"ink":"<i>Plum</i>","tint_percent":100}],"side":"left","box_mm":[5,10,10,15]},
{"number":2,"what":"solid","inks":[{"ink":"A spot whose name goes on and on","tint_percent":100}],"side":"left","box_mm":[5,15,10,20]},
{"number":3,"what":"solid","inks":[{"ink":"Grün","tint_percent":100}],"side":"left","box_mm":[5,20,10,25]},
{"number":4,"what":"paper","inks":[],"side":"left","box_mm":[5,25,10,30]},
{"number":5,"what":"tint","inks":[{"ink":"Grün","tint_percent":50}],"side":"left","box_mm":[5,30,10,35]}]}`

func sample(t *testing.T) *colour.Report {
	t.Helper()
	r, err := colour.ParseRun("run.json", []byte(summary))
	if err != nil {
		t.Fatal(err)
	}
	house, err := colour.ParseHouse("h.yaml", []byte("spots: [{name: <i>Plum</i>, lab: [30, 30, -10], source: 'a \"quoted\" <source>'}]\npaper: [95, 0, -2]\n"))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("ISO28178\nINSTRUMENTATION \"Invented <instrument>\"\nBEGIN_DATA_FORMAT\nSAMPLE_ID FRAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n")
	for _, frame := range []string{"1", "500", "1000", "1500", "2000"} {
		b.WriteString("1 " + frame + " 31 31 -10\n2 " + frame + " 50 20 20\n3 " + frame + " 45 -40 30\n4 " + frame + " 95 0 -2\n5 " + frame + " 70 -20 14\n")
	}
	b.WriteString("END_DATA\n")
	path := filepath.Join(t.TempDir(), "m.txt")
	if err := os.WriteFile(path, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	all, err := colour.ReadMeasured(r, []string{path})
	if err != nil {
		t.Fatal(err)
	}
	return colour.Judge(r, all, &colour.Aims{House: house})
}

// Names are text, never markup; the page needs nothing from outside.
func TestPagesAreWhole(t *testing.T) {
	rep := sample(t)
	for name, write := range map[string]func(*bytes.Buffer) error{
		"operator": func(b *bytes.Buffer) error { return report.HTML(b, rep) },
		"customer": func(b *bytes.Buffer) error { return report.Customer(b, rep) },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatal(err)
		}
		page := b.String()
		for _, bad := range []string{"<i>Plum", "<b>job", "<source>", "<instrument>", "http:", "https:", "<script", "-0.0"} {
			if strings.Contains(page, bad) {
				t.Errorf("%s: the page holds %q", name, bad)
			}
		}
		for _, want := range []string{"&lt;i&gt;Plum", "Grün", "Invented &lt;instrument&gt;", "M condition not said", "</svg>", "</html>"} {
			if !strings.Contains(page, want) {
				t.Errorf("%s: the page lacks %q", name, want)
			}
		}
		// A chart's point at metre 999.75 of 1000 stands near its right end.
		if strings.Count(page, "<circle") < 3*5 {
			t.Errorf("%s: only %d points are drawn", name, strings.Count(page, "<circle"))
		}
	}
}

// The PDF says what the report says, as Poppler reads it.
func TestPDFSaysTheVerdict(t *testing.T) {
	rep := sample(t)
	var a, b bytes.Buffer
	if err := report.PDF(&a, rep); err != nil {
		t.Fatal(err)
	}
	if err := report.PDF(&b, rep); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Errorf("two writings differ: %v", err)
	}
	path := filepath.Join(t.TempDir(), "c.pdf")
	if err := os.WriteFile(path, a.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(witness.Need(t, "pdftotext"), path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(out)), " ")
	for _, want := range []string{rep.Headline(), "A <b>job</b> & more", "<i>Plum</i>", "Grün", "Invented <instrument>"} {
		if !strings.Contains(text, want) {
			t.Errorf("the PDF lacks %q:\n%s", want, text)
		}
	}
	if _, err := json.Marshal(rep); err != nil {
		t.Error(err)
	}
}
