package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// TestReportIsOnePageForEveryone reads the page as a browser does, and holds it
// to what assistive technology needs: a language, captions, headers with their
// scope, lists that say what they are. Nothing comes from elsewhere.
func TestReportIsOnePageForEveryone(t *testing.T) {
	_, all, r := nighttest.Desk(t, nighttest.DeskOrders)
	r.Day = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
	limit := 10 * geometry.Percent
	r.Overs = &limit
	p := made(t, all, r)
	p.Runs[0].Warnings = []say.Note{{Code: "mixed-lane", Text: "several products share lane 6"}}
	p.LeaveOut([]night.Note{{Order: "4", Code: night.BadOrder, Text: "orders.csv:5:2: quantity: is missing"}})
	if err := p.Curves(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := p.Compared(t.Context(), all); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := HTML(&b, p); err != nil {
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
	run := plan.Run{Lanes: 3, Rows: 4, Orders: []plan.Share{{Order: "a", Stations: 6}, {Order: "b", Stations: 1}}}
	got := fmt.Sprint(lanes(nil, run))
	if want := "[{1 [a] 0} {2 [a b] 0} {3 [] 0}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
